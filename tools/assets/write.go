package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
)

// manifestName is the file that maps plain names to hashed ones. The server
// reads it by the same name.
const manifestName = "manifest.json"

// write lays files and the manifest into dist and removes what an earlier run
// left there. The manifest goes after the files it names, so that a reader in
// between never finds a name without a file.
func write(dist string, files []file) error {
	if err := os.MkdirAll(dist, 0o755); err != nil {
		return err
	}
	manifest := make(map[string]string, len(files))
	keep := map[string]bool{".gitkeep": true, manifestName: true}
	for _, f := range files {
		if other, taken := manifest[f.Logical]; taken {
			return fmt.Errorf("%s and %s would both be called %s: rename one of the sources", other, f.Name, f.Logical)
		}
		manifest[f.Logical] = f.Name
		keep[f.Name] = true
		if err := os.WriteFile(filepath.Join(dist, f.Name), f.Content, 0o644); err != nil {
			return err
		}
	}
	content, err := json.MarshalIndent(manifest, "", "  ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dist, manifestName), append(content, '\n'), 0o644); err != nil {
		return err
	}
	return removeOthers(dist, keep)
}

func removeOthers(dist string, keep map[string]bool) error {
	there, err := os.ReadDir(dist)
	if err != nil {
		return err
	}
	for _, entry := range there {
		if keep[entry.Name()] {
			continue
		}
		if err := os.RemoveAll(filepath.Join(dist, entry.Name())); err != nil {
			return err
		}
	}
	return nil
}
