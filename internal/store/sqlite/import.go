package sqlite

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

// SaveImport implements clinic.Importer.
func (s *Store) SaveImport(ctx context.Context, batch clinic.ImportBatch) (clinic.ImportCounts, error) {
	people, err := personRows(batch.People)
	if err != nil {
		return clinic.ImportCounts{}, err
	}
	facts, err := factRows(batch.Facts)
	if err != nil {
		return clinic.ImportCounts{}, err
	}
	var in importing
	err = s.write(ctx, func(c *conn) error {
		in = importing{conn: c, origins: map[string]int64{}}
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

type personRow struct {
	id string
	// came counts the people of the batch as they came.
	came        int
	doc, origin []byte
	links       []mergeLink
}

type factRow struct {
	person, key string
	// whole is the key that the fact is a part of, "" for a fact of its own.
	whole string
	// came counts the facts of the batch as they came.
	came        int
	kind, start int64
	doc         []byte
	source      string
	line        int
}

// personRows writes the documents and puts them in order of id, the last of two
// with the same id only. Where a thing came from stands beside the document, so
// that the same content from another file is the same.
func personRows(people []record.Person) ([]*personRow, error) {
	rows := make([]*personRow, 0, len(people))
	for i, p := range people {
		origin, err := json.Marshal(p.Origin)
		if err != nil {
			return nil, fmt.Errorf("write the origin of person %s: %w", p.ID, err)
		}
		p.Origin = record.Origin{}
		doc, err := json.Marshal(p)
		if err != nil {
			return nil, fmt.Errorf("write person %s: %w", p.ID, err)
		}
		if p.ID == "" {
			return nil, clinic.Errorf(clinic.Invalid, "a person without an id cannot be kept")
		}
		rows = append(rows, &personRow{p.ID, i, doc, origin, linksOf(&p)})
	}
	return lastOfEach(rows, func(a, b *personRow) int { return strings.Compare(a.id, b.id) }, func(r *personRow) int { return r.came }), nil
}

func factRows(facts []clinic.PersonFact) ([]*factRow, error) {
	rows := make([]*factRow, 0, len(facts))
	for i := range facts {
		f := facts[i].Fact
		if facts[i].Person == "" || f.Key == "" {
			return nil, clinic.Errorf(clinic.Invalid, "a fact without a person or a key cannot be kept")
		}
		low, _ := f.Start.Days(nil)
		row := &factRow{
			person: facts[i].Person, key: f.Key, kind: int64(f.Kind), start: int64(low),
			source: f.Origin.Source, line: f.Origin.Line, came: i,
		}
		if whole, part := f.Whole(); part {
			row.whole = whole
		}
		f.Key, f.Origin = "", record.Origin{} // both stand in columns
		var err error
		if row.doc, err = json.Marshal(f); err != nil {
			return nil, fmt.Errorf("write fact %s of person %s: %w", row.key, row.person, err)
		}
		rows = append(rows, row)
	}
	return withoutOldParts(lastOfEach(rows, func(a, b *factRow) int {
		if a.person != b.person {
			return strings.Compare(a.person, b.person)
		}
		return strings.Compare(a.key, b.key)
	}, func(r *factRow) int { return r.came })), nil
}

// withoutOldParts leaves out parts that came before the fact that they are a
// part of: they belong to an older state of it. A part sorts behind its whole.
func withoutOldParts(rows []*factRow) []*factRow {
	kept := rows[:0]
	whole := &factRow{}
	for _, r := range rows {
		if r.whole == "" {
			whole = r
		} else if r.person == whole.person && r.whole == whole.key && r.came < whole.came {
			continue
		}
		kept = append(kept, r)
	}
	return kept
}

// lastOfEach sorts rows and keeps the last that came of those that compare as
// equal.
func lastOfEach[T any](rows []*T, compare func(a, b *T) int, came func(*T) int) []*T {
	slices.SortFunc(rows, func(a, b *T) int {
		if c := compare(a, b); c != 0 {
			return c
		}
		return came(a) - came(b)
	})
	kept := rows[:0]
	for i := range rows {
		if i+1 < len(rows) && compare(rows[i], rows[i+1]) == 0 {
			continue
		}
		kept = append(kept, rows[i])
	}
	return kept
}

// importing is one transaction of an import.
type importing struct {
	*conn
	counts  clinic.ImportCounts
	touched []string
	origins map[string]int64
	// came: somebody new came, or somebody's links to merged records changed.
	came, linked bool
}

// count sorts a write into new, changed and the same. older reads the content
// that is there where it differs, and change replaces it.
func (in *importing) count(person, key string, inserted int64, doc []byte, older func(func(*sqlite3.Stmt) error) (bool, error), change func() error) error {
	if inserted > 0 {
		in.counts.New++
		in.touched = append(in.touched, person)
		return nil
	}
	var before uint64
	differs, err := older(func(s *sqlite3.Stmt) error {
		before = hashOf(s.ColumnRawBlob(0))
		return nil
	})
	if err != nil {
		return err
	}
	if !differs {
		in.counts.Same++
		return nil
	}
	in.counts.Changes = append(in.counts.Changes, clinic.Change{Key: person + "\x00" + key, Before: before, After: hashOf(doc)})
	in.touched = append(in.touched, person)
	return change()
}

// hashOf names a content inside one import; it is never kept.
func hashOf(doc []byte) uint64 {
	h := fnv.New64a()
	h.Write(doc)
	return h.Sum64()
}

func (in *importing) person(p *personRow) error {
	n, err := in.exec(`INSERT INTO person (id, doc, origin, version, stale) VALUES (?1, ?2, ?3, 0, 1)
		ON CONFLICT DO NOTHING`, p.id, p.doc, p.origin)
	if err != nil {
		return err
	}
	same := in.counts.Same
	err = in.count(p.id, "", n, p.doc, func(row func(*sqlite3.Stmt) error) (bool, error) {
		return in.one(`SELECT doc FROM person WHERE id = ?1 AND doc <> ?2`, []any{p.id, p.doc}, row)
	}, func() error {
		_, err := in.exec(`UPDATE person SET doc = ?2, origin = ?3 WHERE id = ?1`, p.id, p.doc, p.origin)
		return err
	})
	if err != nil || in.counts.Same > same {
		return err
	}
	in.came = in.came || n > 0
	return in.link(p)
}

// fact writes one fact. Parts that an older state of it had, and that do not
// come with it now, are taken back.
func (in *importing) fact(f *factRow, after []*factRow) error {
	source, err := in.origin(f.source)
	if err != nil {
		return err
	}
	n, err := in.exec(`INSERT INTO fact (person, key, kind, start, doc, source, line) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
		ON CONFLICT DO NOTHING`, f.person, f.key, f.kind, f.start, f.doc, source, f.line)
	if err != nil {
		return err
	}
	if n == 0 && f.whole == "" {
		if err := in.dropParts(f, after); err != nil {
			return err
		}
	}
	return in.count(f.person, f.key, n, f.doc, func(row func(*sqlite3.Stmt) error) (bool, error) {
		return in.one(`SELECT doc FROM fact WHERE person = ?1 AND key = ?2 AND doc <> ?3`, []any{f.person, f.key, f.doc}, row)
	}, func() error {
		_, err := in.exec(`UPDATE fact SET kind = ?3, start = ?4, doc = ?5, source = ?6, line = ?7
			WHERE person = ?1 AND key = ?2`, f.person, f.key, f.kind, f.start, f.doc, source, f.line)
		return err
	})
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
