package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base32"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// kernelCommand is what becomes WebAssembly.
const kernelCommand = "cmd/tengram-pages"

// kernel compiles the rules and the pages that are drawn from them for the
// browser. The file is packed: the worker unpacks it, so that it is small in the
// program, on the way and on the device.
func kernel(root string) ([]file, error) {
	if _, err := os.Stat(filepath.Join(root, kernelCommand)); os.IsNotExist(err) {
		return nil, nil // a tree without the command, as in the tests
	}
	made, err := os.MkdirTemp("", "tengram-kernel-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(made)
	program := filepath.Join(made, "kernel.wasm")
	build := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", program, "./"+kernelCommand)
	build.Dir = root
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if said, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("go build for the browser: %w\n%s", err, said)
	}
	content, err := os.ReadFile(program)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(content)
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	name := "kernel-" + base32.StdEncoding.EncodeToString(sum[:])[:8] + ".wasm.gz"
	return []file{{Logical: "kernel.wasm.gz", Name: name, Content: packed.Bytes()}}, nil
}

// glue is the script that the Go distribution brings for programs in a browser;
// the scripts import it as "wasm_exec". It must be of the version that compiles.
func glue() (string, error) {
	said, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("go env GOROOT: %w", err)
	}
	path := filepath.Join(strings.TrimSpace(string(said)), "lib", "wasm", "wasm_exec.js")
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("the Go distribution has no glue for the browser: %w", err)
	}
	return path, nil
}
