package sqlite

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"strings"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// SaveImport implements clinic.Importer.
func (s *Store) SaveImport(ctx context.Context, batch clinic.ImportBatch) (clinic.ImportCounts, error) {
	people, olderPeople, err := personRows(batch.People)
	if err != nil {
		return clinic.ImportCounts{}, err
	}
	facts, olderFacts, err := factRows(batch.Facts)
	if err != nil {
		return clinic.ImportCounts{}, err
	}
	var in importing
	err = s.write(ctx, func(c *conn) error {
		in = importing{conn: c, origins: map[string]int64{}, passed: map[[2]string]bool{}}
		in.counts.Older = olderPeople + olderFacts
		for i := range people {
			if err := in.person(people[i]); err != nil {
				return err
			}
		}
		for i := range facts {
			if err := in.fact(facts[i], facts[i+1:]); err != nil {
				return err
			}
		}
		if err := in.remove(batch.Remove); err != nil {
			return err
		}
		if err := in.merge(); err != nil {
			return err
		}
		return in.touch()
	})
	if err != nil {
		return clinic.ImportCounts{}, fmt.Errorf("save an import of %d people and %d facts: %w", len(batch.People), len(batch.Facts), err)
	}
	return in.counts, nil
}

// importing is one transaction of an import.
type importing struct {
	*conn
	counts  clinic.ImportCounts
	touched []string
	origins map[string]int64
	// passed are facts, by person and key, that came in an older version than is
	// here.
	passed map[[2]string]bool
	// came: somebody new came, or somebody's links to merged records changed.
	came, linked bool
}

// there is what a write met under its key: the version, and a hash of the
// content where it differs.
type there struct {
	version record.Version
	differs bool
	before  uint64
}

// meet runs a query for meta_updated, meta_version and the document, which is
// NULL where it is the same.
func (in *importing) meet(text string, args ...any) (t there, err error) {
	_, err = in.one(text, args, func(s *sqlite3.Stmt) error {
		t.version = record.Version{Updated: s.ColumnInt64(0), Number: s.ColumnInt64(1)}
		if t.differs = s.ColumnType(2) != sqlite3.NULL; t.differs {
			t.before = hashOf(s.ColumnRawBlob(2))
		}
		return nil
	})
	return t, err
}

func (in *importing) isNew(person string) {
	in.counts.New++
	in.touched = append(in.touched, person)
}

func (in *importing) isChanged(person, key string, before uint64, doc []byte) {
	in.counts.Changes = append(in.counts.Changes, clinic.Change{Key: person + "\x00" + key, Before: before, After: hashOf(doc)})
	in.touched = append(in.touched, person)
}

// hashOf names a content inside one import; it is never kept.
func hashOf(doc []byte) uint64 {
	h := fnv.New64a()
	h.Write(doc)
	return h.Sum64()
}

func (in *importing) person(p *personRow) error {
	n, err := in.exec(`INSERT INTO person (id, doc, origin, version, stale, meta_updated, meta_version) VALUES (?1, ?2, ?3, 0, 1, ?4, ?5)
		ON CONFLICT DO NOTHING`, p.id, p.doc, p.origin, p.version.Updated, p.version.Number)
	if err != nil {
		return err
	}
	if n > 0 {
		in.isNew(p.id)
		in.came = true
		return in.link(p)
	}
	t, err := in.meet(`SELECT meta_updated, meta_version, nullif(doc, ?2) FROM person WHERE id = ?1`, p.id, p.doc)
	switch {
	case err != nil:
		return err
	case p.version.Before(t.version):
		in.counts.Older++
		return nil
	case !t.differs:
		in.counts.Same++
		if t.version != p.version {
			_, err = in.exec(`UPDATE person SET meta_updated = ?2, meta_version = ?3 WHERE id = ?1`, p.id, p.version.Updated, p.version.Number)
		}
		return err
	}
	in.isChanged(p.id, "", t.before, p.doc)
	_, err = in.exec(`UPDATE person SET doc = ?2, origin = ?3, meta_updated = ?4, meta_version = ?5 WHERE id = ?1`,
		p.id, p.doc, p.origin, p.version.Updated, p.version.Number)
	if err != nil {
		return err
	}
	return in.link(p)
}

// fact writes one fact, unless a newer version of it is here. Parts that an
// older state of it had, and that do not come with it now, are taken back.
func (in *importing) fact(f *factRow, after []*factRow) error {
	if f.whole != "" && len(in.passed) > 0 && in.passed[[2]string{f.person, f.whole}] {
		return nil
	}
	source, err := in.origin(f.source)
	if err != nil {
		return err
	}
	n, err := in.exec(`INSERT INTO fact (person, key, kind, start, doc, source, line, meta_updated, meta_version) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)
		ON CONFLICT DO NOTHING`, f.person, f.key, f.kind, f.start, f.doc, source, f.line, f.version.Updated, f.version.Number)
	if err != nil {
		return err
	}
	if n > 0 {
		in.isNew(f.person)
		return nil
	}
	t, err := in.meet(`SELECT meta_updated, meta_version, nullif(doc, ?3) FROM fact WHERE person = ?1 AND key = ?2`, f.person, f.key, f.doc)
	if err != nil {
		return err
	}
	if f.whole == "" {
		if f.version.Before(t.version) {
			in.counts.Older++
			in.passed[[2]string{f.person, f.key}] = true
			return nil
		}
		if err := in.dropParts(f, after); err != nil {
			return err
		}
	}
	if !t.differs {
		in.counts.Same++
		if t.version != f.version {
			_, err = in.exec(`UPDATE fact SET meta_updated = ?3, meta_version = ?4 WHERE person = ?1 AND key = ?2`, f.person, f.key, f.version.Updated, f.version.Number)
		}
		return err
	}
	in.isChanged(f.person, f.key, t.before, f.doc)
	_, err = in.exec(`UPDATE fact SET kind = ?3, start = ?4, doc = ?5, source = ?6, line = ?7, meta_updated = ?8, meta_version = ?9
		WHERE person = ?1 AND key = ?2`, f.person, f.key, f.kind, f.start, f.doc, source, f.line, f.version.Updated, f.version.Number)
	return err
}

func (in *importing) dropParts(f *factRow, after []*factRow) error {
	var drop []string
	err := in.query(`SELECT key FROM fact WHERE person = ?1 AND key > ?2 || '#' AND key < ?2 || '$'`, []any{f.person, f.key}, func(s *sqlite3.Stmt) error {
		key := s.ColumnText(0)
		for i := range after {
			if after[i].person != f.person || after[i].whole != f.key {
				break
			}
			if after[i].key == key {
				return nil
			}
		}
		drop = append(drop, key)
		return nil
	})
	if err != nil {
		return err
	}
	for _, key := range drop {
		if _, err := in.exec(`DELETE FROM fact WHERE person = ?1 AND key = ?2`, f.person, key); err != nil {
			return err
		}
		in.counts.Removed++
		in.touched = append(in.touched, f.person)
	}
	return nil
}

// origin returns the number of the name of a file.
func (in *importing) origin(source string) (int64, error) {
	if id, ok := in.origins[source]; ok {
		return id, nil
	}
	if _, err := in.exec(`INSERT INTO origin (source) VALUES (?1) ON CONFLICT DO NOTHING`, source); err != nil {
		return 0, err
	}
	var id int64
	_, err := in.one(`SELECT id FROM origin WHERE source = ?1`, []any{source}, func(s *sqlite3.Stmt) error {
		id = s.ColumnInt64(0)
		return nil
	})
	in.origins[source] = id
	return id, err
}

// remove takes back facts and people by their keys.
func (in *importing) remove(keys []string) error {
	if len(keys) == 0 {
		return nil
	}
	list, err := json.Marshal(keys)
	if err != nil {
		return err
	}
	type found struct{ person, key string }
	var facts []found
	err = in.query(`SELECT person, key FROM fact WHERE iif(instr(key, '#'), substr(key, 1, instr(key, '#') - 1), key) IN (SELECT value FROM json_each(?1))
		OR key IN (SELECT value FROM json_each(?1))`, []any{string(list)}, func(s *sqlite3.Stmt) error {
		facts = append(facts, found{s.ColumnText(0), s.ColumnText(1)})
		return nil
	})
	if err != nil {
		return err
	}
	for _, f := range facts {
		if _, err := in.exec(`DELETE FROM fact WHERE person = ?1 AND key = ?2`, f.person, f.key); err != nil {
			return err
		}
		in.counts.Removed++
		in.touched = append(in.touched, f.person)
	}
	for _, key := range keys {
		if id, ok := strings.CutPrefix(key, "Patient/"); ok {
			if err := in.removePerson(id); err != nil {
				return err
			}
		}
	}
	return nil
}

// removePerson takes a person back, or makes them inactive where something was
// entered here.
func (in *importing) removePerson(id string) error {
	var doc []byte
	used := false
	found, err := in.one(`SELECT doc, EXISTS (SELECT 1 FROM exam WHERE person = ?1) OR EXISTS (SELECT 1 FROM draft WHERE person = ?1)
		OR EXISTS (SELECT 1 FROM referral WHERE person = ?1) FROM person WHERE id = ?1`, []any{id}, func(s *sqlite3.Stmt) error {
		doc, used = s.ColumnBlob(0, nil), s.ColumnBool(1)
		return nil
	})
	if err != nil || !found {
		return err
	}
	in.counts.Removed++
	if !used {
		if _, err := in.exec(`DELETE FROM standing WHERE person = ?1`, id); err != nil {
			return err
		}
		in.linked = true
		_, err := in.exec(`DELETE FROM person WHERE id = ?1`, id)
		return err
	}
	var p record.Person
	if err := json.Unmarshal(doc, &p); err != nil {
		return fmt.Errorf("read person %s: %w", id, err)
	}
	if p.Inactive {
		in.counts.Removed--
		return nil
	}
	p.Inactive = true
	if doc, err = json.Marshal(p); err != nil {
		return err
	}
	in.touched = append(in.touched, id)
	_, err = in.exec(`UPDATE person SET doc = ?2 WHERE id = ?1`, id, doc)
	return err
}

// KeepAside implements clinic.Importer.
func (s *Store) KeepAside(ctx context.Context, aside []clinic.Aside) error {
	return s.write(ctx, func(c *conn) error {
		for _, a := range aside {
			sum := sha256.Sum256(fmt.Appendf(nil, "%q %d %q %q %q", a.File, a.Line, a.Resource, a.Reason, a.Raw))
			_, err := c.exec(`INSERT INTO aside (digest, file, line, resource, reason, raw) VALUES (?1, ?2, ?3, ?4, ?5, ?6)
				ON CONFLICT DO NOTHING`, sum[:], a.File, a.Line, a.Resource, a.Reason, a.Raw)
			if err != nil {
				return fmt.Errorf("keep aside line %d of %s: %w", a.Line, a.File, err)
			}
		}
		return nil
	})
}

// Asides implements clinic.Importer.
func (s *Store) Asides(ctx context.Context, limit int) ([]clinic.Aside, error) {
	var list []clinic.Aside
	err := s.read(ctx, func(c *conn) error {
		return c.query(`SELECT file, line, resource, reason FROM aside ORDER BY id DESC LIMIT ?1`, []any{limit}, func(s *sqlite3.Stmt) error {
			list = append(list, clinic.Aside{File: s.ColumnText(0), Line: s.ColumnInt(1), Resource: s.ColumnText(2), Reason: s.ColumnText(3)})
			return nil
		})
	})
	return list, err
}
