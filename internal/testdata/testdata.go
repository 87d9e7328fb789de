// Package testdata finds the open test data that lies beside the repository,
// in ../shared, and is never copied into it. A test that needs a file asks here
// and is skipped, with the reason, on a machine that does not have the data.
//
// TENGRAM_SHARED names another folder to use in place of ../shared.
//
// The go command leaves folders of this name out of "./...": name the package
// by its path to vet or test it.
package testdata

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// Shared returns the path of a data file or folder, such as
// Shared(t, "ccda", "README.md"). Without the shared folder it skips t. With
// the folder but without the file it fails t: that is a wrong name.
func Shared(t testing.TB, elem ...string) string {
	t.Helper()
	folder := shared(t)
	inData := filepath.Join(folder, "data", filepath.Join(elem...))
	if exists(t, inData) {
		return inData
	}
	direct := filepath.Join(folder, filepath.Join(elem...))
	if !exists(t, direct) {
		t.Fatalf("no %s in the shared folder or its data folder: is the name right?", filepath.Join(elem...))
	}
	return direct
}

// Reference returns the path of a reference document or table, such as
// Reference(t, "codes", "code-systems.csv"), on the same terms as Shared.
func Reference(t testing.TB, elem ...string) string {
	t.Helper()
	path := filepath.Join(shared(t), "reference", filepath.Join(elem...))
	if !exists(t, path) {
		t.Fatalf("no %s among the shared reference files: is the name right?", filepath.Join(elem...))
	}
	return path
}

// shared returns the shared folder, or skips t. A folder that was asked for by
// name must be there.
func shared(t testing.TB) string {
	t.Helper()
	if named := os.Getenv("TENGRAM_SHARED"); named != "" {
		if !exists(t, named) {
			t.Fatal("TENGRAM_SHARED names a folder that is not there")
		}
		return named
	}
	folder := filepath.Join(repository(t), "..", "shared")
	if !exists(t, folder) {
		t.Skip("this test needs the open test data in ../shared beside the repository, or in the folder named by TENGRAM_SHARED")
	}
	return folder
}

// repository returns the folder that holds go.mod, at or above the folder in
// which the test runs.
func repository(t testing.TB) string {
	t.Helper()
	folder, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for !exists(t, filepath.Join(folder, "go.mod")) {
		above := filepath.Dir(folder)
		if above == folder {
			t.Fatal("no go.mod at or above the folder in which this test runs")
		}
		folder = above
	}
	return folder
}

func exists(t testing.TB, path string) bool {
	t.Helper()
	_, err := os.Stat(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return err == nil
}
