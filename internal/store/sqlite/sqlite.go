// Package sqlite keeps what the clinic knows in one SQLite file: the documents
// as they were written, columns beside them for finding, and rows derived from
// them that can be made again.
//
// A write that returned nil is on the disk before it returns (write-ahead log,
// synchronous=FULL): it survives a kill of the process and, on a disk that
// keeps its promises, a loss of power. One connection writes, one transaction
// at a time; up to eight read, each as of the moment it began.
package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/ncruces/go-sqlite3"
	"github.com/ncruces/go-sqlite3/driver"
	"github.com/pressly/goose/v3"

	"tengram/internal/clinic"
)

//go:embed migrations/*.sql
var migrations embed.FS

// settings are made on every connection. busy_timeout comes first, so that the
// rest can wait for another process that opens the same file.
const settings = `
	PRAGMA busy_timeout = 10000;
	PRAGMA foreign_keys = ON;
	PRAGMA synchronous = FULL;
	PRAGMA temp_store = MEMORY;
	PRAGMA trusted_schema = OFF;
`

// Caches in KiB (negative is KiB to SQLite). A connection has 256 MiB of memory
// at most, so that the cache stays far below that.
const (
	writerCache = `PRAGMA cache_size = -65536`
	readerCache = `PRAGMA cache_size = -16384`
	readers     = 8
)

// Store is a clinic.Store in one file.
type Store struct {
	path   string
	writer chan *conn
	pool   chan *conn
}

var _ clinic.Store = (*Store)(nil)

// Open opens the file, makes it where there is none, and brings its tables up
// to date. The file and its companions are readable by their owner only. A file
// of a newer program is refused.
func Open(ctx context.Context, path string) (*Store, error) {
	s, err := open(ctx, path)
	if err != nil {
		return nil, fmt.Errorf("open the clinic's file %s: %w", path, err)
	}
	return s, nil
}

func open(ctx context.Context, path string) (*Store, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if err := create(path); err != nil {
		return nil, err
	}
	if err := migrate(ctx, path); err != nil {
		return nil, err
	}
	w, err := connect(path, writerCache)
	if err != nil {
		return nil, err
	}
	if err := private(w, path); err != nil {
		return nil, errors.Join(err, w.close())
	}
	s := &Store{path: path, writer: make(chan *conn, 1), pool: make(chan *conn, readers)}
	s.writer <- w
	for range readers {
		s.pool <- nil // opened when it is first needed
	}
	return s, nil
}

// create makes an empty file that only its owner may read. SQLite would let
// the umask decide.
func create(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("the folder is not there: make it first: %w", err)
	}
	if err != nil {
		return err
	}
	return f.Close()
}

// private closes the index of the log to others. It holds numbers of pages and
// no content, and is the one companion that does not get the file's mode.
func private(c *conn, path string) error {
	if err := c.Exec(`SELECT count(*) FROM setting`); err != nil { // makes it
		return err
	}
	if err := os.Chmod(path+"-shm", 0o600); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// address is the name of the file for SQLite; its companions get its mode.
func address(path string) string {
	// SQLite reads %20 and not + as a space.
	mode := strings.ReplaceAll(url.QueryEscape(path), "+", "%20")
	u := url.URL{Scheme: "file", OmitHost: true, Path: filepath.ToSlash(path), RawQuery: "_txlock=immediate&modeof=" + mode}
	return u.String()
}

func connect(path, cache string) (*conn, error) {
	c, err := sqlite3.Open(address(path))
	if err != nil {
		return nil, err
	}
	if err := c.Exec(settings + cache); err != nil {
		return nil, errors.Join(err, c.Close())
	}
	return &conn{Conn: c, kept: map[string]*sqlite3.Stmt{}}, nil
}

// migrate brings the tables up to date, forward only.
func migrate(ctx context.Context, path string) (err error) {
	db, err := driver.Open(address(path), func(c *sqlite3.Conn) error {
		// The size of a page can only be chosen before the first table.
		return c.Exec(settings + `PRAGMA page_size = 8192; PRAGMA journal_mode = WAL`)
	})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	db.SetMaxOpenConns(1)
	for try := 0; ; try++ {
		err := migrateOnce(ctx, db)
		if err == nil || try == 5 || ctx.Err() != nil || errors.Is(err, errNewer) {
			return err
		}
		// Another process may be at the same; the second look settles it.
		time.Sleep(200 * time.Millisecond)
	}
}

var errNewer = errors.New("the file was written by a newer version of this program: use that version")

func migrateOnce(ctx context.Context, db *sql.DB) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, files,
		goose.WithDisableGlobalRegistry(true), goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	have, err := p.GetDBVersion(ctx)
	if err != nil {
		return err
	}
	sources := p.ListSources()
	newest := sources[len(sources)-1].Version
	if have > newest {
		return fmt.Errorf("tables of version %d, this program knows %d: %w", have, newest, errNewer)
	}
	if have == newest {
		return nil
	}
	_, err = p.Up(ctx)
	return err
}

// Close waits for running reads and writes and closes the file.
func (s *Store) Close() error {
	var err error
	for range readers {
		if c := <-s.pool; c != nil {
			err = errors.Join(err, c.close())
		}
	}
	return errors.Join(err, (<-s.writer).close())
}

// Check runs SQLite's own check of the whole file. It reads everything.
func (s *Store) Check(ctx context.Context) error {
	return s.read(ctx, func(c *conn) error {
		for _, pragma := range []string{`PRAGMA integrity_check`, `PRAGMA foreign_key_check`} {
			err := c.query(pragma, nil, func(r *sqlite3.Stmt) error {
				if text := r.ColumnText(0); text != "ok" {
					return fmt.Errorf("the file is damaged: %s: take the newest backup", text)
				}
				return nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// Backup writes a copy of the file, as of one moment, to a path that must not
// exist yet. Writing goes on meanwhile.
func (s *Store) Backup(ctx context.Context, path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	if err != nil {
		return fmt.Errorf("back up the clinic's file: %w", err)
	}
	if err := f.Close(); err != nil {
		return err
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	return s.read(ctx, func(c *conn) error { return c.Backup("main", address(abs)) })
}
