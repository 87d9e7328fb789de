package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// bundle makes one file of each script and style sheet that lies directly in
// web/src. What lies in its folders is only reached by being imported.
func bundle(root string) ([]file, error) {
	entries, err := entryPoints(root)
	if err != nil {
		return nil, err
	}
	wasmExec, err := glue()
	if err != nil {
		return nil, err
	}
	result := api.Build(api.BuildOptions{
		AbsWorkingDir: root,
		Alias:         map[string]string{"wasm_exec": wasmExec},
		EntryPoints:   entries,
		Outdir:        "dist", // never written: the names are all that is used
		EntryNames:    "[name]-[hash]",
		AssetNames:    "[name]-[hash]",
		Bundle:        true,
		Metafile:      true,
		Format:        api.FormatESModule,
		Target:        api.ES2022,
		// The oldest browsers with every CSS feature that we write by hand.
		Engines: []api.Engine{
			{Name: api.EngineChrome, Version: "111"},
			{Name: api.EngineFirefox, Version: "113"},
			{Name: api.EngineSafari, Version: "16.4"},
		},
		Loader:            map[string]api.Loader{".svg": api.LoaderCopy, ".woff2": api.LoaderCopy},
		MinifyWhitespace:  true,
		MinifySyntax:      true,
		MinifyIdentifiers: true,
		LegalComments:     api.LegalCommentsEndOfFile,
	})
	if problems := append(result.Errors, result.Warnings...); len(problems) > 0 {
		lines := api.FormatMessages(problems, api.FormatMessagesOptions{})
		return nil, errors.New(strings.Join(lines, ""))
	}
	logical, err := logicalNames(result.Metafile)
	if err != nil {
		return nil, err
	}
	var files []file
	for _, out := range result.OutputFiles {
		name := filepath.Base(out.Path)
		files = append(files, file{Logical: logical[name], Name: name, Content: out.Contents})
	}
	return files, nil
}

// entryPoints lists the sources to bundle, relative to root and sorted.
func entryPoints(root string) ([]string, error) {
	var entries []string
	for _, pattern := range []string{"*.ts", "*.css", "*.svg"} {
		found, err := filepath.Glob(filepath.Join(root, "web", "src", pattern))
		if err != nil {
			return nil, err
		}
		for _, path := range found {
			if !strings.HasSuffix(path, ".d.ts") {
				entries = append(entries, filepath.Join("web", "src", filepath.Base(path)))
			}
		}
	}
	if len(entries) == 0 {
		return nil, fmt.Errorf("no *.ts, *.css or *.svg in %s", filepath.Join(root, "web", "src"))
	}
	slices.Sort(entries)
	return entries, nil
}

// logicalNames reads from the bundler's own account which source each output
// came from, and returns the plain name for each hashed one.
func logicalNames(metafile string) (map[string]string, error) {
	var meta struct {
		Outputs map[string]struct {
			EntryPoint string
			Inputs     map[string]struct{}
		}
	}
	if err := json.Unmarshal([]byte(metafile), &meta); err != nil {
		return nil, fmt.Errorf("reading the bundler's account of its work: %w", err)
	}
	names := make(map[string]string, len(meta.Outputs))
	for out, from := range meta.Outputs {
		source := from.EntryPoint
		if source == "" { // a picture or font that a style sheet refers to
			for input := range from.Inputs {
				source = input
			}
		}
		stem := strings.TrimSuffix(filepath.Base(source), filepath.Ext(source))
		names[filepath.Base(out)] = stem + filepath.Ext(out)
	}
	return names, nil
}
