package fhir

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"tengram/internal/clinic"
)

// file is one file to read.
type file struct {
	// path as it was given, or found below a folder that was; base is its last
	// part, which facts carry as their source.
	path, base string
	// lines is true for one resource a line, false for one document.
	lines bool
}

// list finds the files below paths, in the order in which they are read: paths
// as given, a folder's files by name. In a folder only files named *.ndjson,
// *.jsonl and *.json, with or without .gz, are looked at, and those that may
// hold resources in another form are named; a file that is named itself is read
// whatever it is called. A path that does not exist is an error.
func list(paths []string) (files []file, asides []clinic.Aside, err error) {
	seen := map[string]bool{}
	add := func(path string, named bool) {
		lines, ok := shape(path)
		if !ok && !named {
			if why := otherForm(path); why != "" {
				asides = append(asides, clinic.Aside{File: path, Reason: why})
			}
			return
		}
		whole, err := filepath.Abs(path)
		if err != nil {
			whole = path
		}
		if !seen[whole] {
			seen[whole] = true
			files = append(files, file{path, filepath.Base(path), lines})
		}
	}
	for _, path := range paths {
		info, err := os.Stat(path)
		if err != nil {
			return nil, nil, fmt.Errorf("cannot read what was named: %w", err)
		}
		if !info.IsDir() {
			add(path, true)
			continue
		}
		err = filepath.WalkDir(path, func(path string, e fs.DirEntry, err error) error {
			switch {
			case err != nil:
				asides = append(asides, clinic.Aside{File: path, Reason: "cannot be looked into: " + cause(err)})
				if e != nil && e.IsDir() {
					return fs.SkipDir
				}
			case e.IsDir():
			case strings.HasPrefix(e.Name(), "."):
			case e.Type().IsRegular():
				add(path, false)
			case e.Type()&fs.ModeSymlink != 0:
				info, err := os.Stat(path)
				switch {
				case err != nil:
					asides = append(asides, clinic.Aside{File: path, Reason: "is a link to nothing that can be read: " + cause(err)})
				case info.IsDir():
					asides = append(asides, clinic.Aside{File: path, Reason: "is a link to a folder, which is not followed: name that folder itself"})
				case info.Mode().IsRegular():
					add(path, false)
				}
			}
			return nil
		})
		if err != nil {
			return nil, nil, err
		}
	}
	return files, asides, nil
}

// shape tells from a name whether a file holds one resource a line; ok is false
// for a name that says neither.
func shape(path string) (lines, ok bool) {
	name := strings.TrimSuffix(strings.ToLower(path), ".gz")
	switch filepath.Ext(name) {
	case ".ndjson", ".jsonl":
		return true, true
	case ".json":
		return false, true
	}
	return false, false
}

// otherForm says why a file that may well hold resources is not read, and
// nothing for a file of any other kind.
func otherForm(path string) string {
	switch filepath.Ext(strings.TrimSuffix(strings.ToLower(path), ".gz")) {
	case ".zip", ".tar", ".tgz", ".7z", ".rar", ".bz2", ".xz", ".zst":
		return "is packed in a form that is not read: unpack it first"
	case ".xml":
		return "is XML, which is not read: export it as JSON"
	}
	return ""
}

// cause leaves out the path of a file error, which stands beside it already.
func cause(err error) string {
	if e, ok := err.(*fs.PathError); ok {
		return e.Err.Error()
	}
	return err.Error()
}
