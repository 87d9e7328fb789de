package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
)

// version is the released version; the build's commit is added where known.
const version = "0.1.0"

type versionCmd struct {
	JSON bool `help:"Print JSON."`
}

// Help shows an example.
func (versionCmd) Help() string { return "Example:\n  tengram version" }

// Run prints the version, the document form and the editions of the rules.
func (c versionCmd) Run(s *session) error {
	commit := "unknown"
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, kv := range info.Settings {
			if kv.Key == "vcs.revision" {
				commit = kv.Value
			}
		}
	}
	var editions []string
	for _, e := range assess.Editions() {
		editions = append(editions, e.ID)
	}
	if c.JSON {
		return writeJSON(s.out, map[string]any{"version": version, "commit": commit, "go": runtime.Version(), "exam-document": exam.SchemaID, "editions": editions})
	}
	fmt.Fprintf(s.out, "tengram %s (commit %s, %s)\nexam document %s; editions of the rules: %v\n", version, commit, runtime.Version(), exam.SchemaID, editions)
	return nil
}
