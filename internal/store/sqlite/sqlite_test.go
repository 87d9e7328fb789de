package sqlite

import (
	"context"
	"path/filepath"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/store/storetest"
)

func TestSuite(t *testing.T) {
	storetest.Run(t, func(t *testing.T) clinic.Store { return openTemp(t) })
}

func openTemp(t testing.TB) *Store {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "clinic.db"))
}

// openAt opens a file and closes it, checked, at the end of the test.
func openAt(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}
