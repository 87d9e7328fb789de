package sqlite

import (
	"encoding/json"
	"errors"
	"slices"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/kernel/record"
)

// mergeLink is what a person's document says of merging: old was merged into
// new. Either of the two may say so; own is said by the old one.
type mergeLink struct {
	old, new string
	own      bool
}

func linksOf(p *record.Person) []mergeLink {
	var links []mergeLink
	for _, old := range p.Replaces {
		links = append(links, mergeLink{old, p.ID, false})
	}
	if p.ReplacedBy != "" {
		links = append(links, mergeLink{p.ID, p.ReplacedBy, true})
	}
	return links
}

// link keeps what a new or changed document says of merging.
func (in *importing) link(p *personRow) error {
	n, err := in.exec(`DELETE FROM merge_link WHERE said_by = ?1`, p.id)
	if err != nil {
		return err
	}
	in.linked = in.linked || n > 0 || len(p.links) > 0
	for _, l := range p.links {
		if _, err := in.exec(`INSERT INTO merge_link (said_by, old, new, own) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING`, p.id, l.old, l.new, l.own); err != nil {
			return err
		}
	}
	return nil
}

// merge works out anew who was merged into whom, where the batch may have
// changed it. Records that gain or lose another are touched.
func (in *importing) merge() error {
	if !in.linked && !in.came {
		return nil
	}
	next, err := in.links()
	if err != nil {
		return err
	}
	before, err := readMerges(in.conn)
	if err != nil {
		return err
	}
	if len(next) == 0 && len(before.into) == 0 {
		return nil
	}
	after := ends(next)
	for old, survivor := range before.into {
		if after[old] == survivor {
			continue
		}
		in.touched = append(in.touched, old, survivor)
		if _, err := in.exec(`DELETE FROM merged WHERE old = ?1`, old); err != nil {
			return err
		}
	}
	for old, survivor := range after {
		if before.into[old] == survivor {
			continue
		}
		in.touched = append(in.touched, survivor)
		if _, err := in.exec(`INSERT INTO merged (old, survivor) VALUES (?1, ?2)`, old, survivor); err != nil {
			return err
		}
		if _, err := in.exec(`UPDATE person SET stale = 0 WHERE id = ?1`, old); err != nil {
			return err
		}
		if _, err := in.exec(`DELETE FROM standing WHERE person = ?1`, old); err != nil {
			return err
		}
	}
	return nil
}

// links maps each merged record to the next one, if that is here. What a record
// says of itself goes before what another says of it, as where records are
// assembled without a store.
func (in *importing) links() (map[string]string, error) {
	next := map[string]string{}
	err := in.query(`SELECT l.old, l.new, l.own FROM merge_link l JOIN person p ON p.id = l.new ORDER BY l.own, l.said_by, l.old`, nil, func(s *sqlite3.Stmt) error {
		old, new := s.ColumnText(0), s.ColumnText(1)
		if next[old] == "" || s.ColumnBool(2) {
			next[old] = new
		}
		return nil
	})
	return next, err
}

// ends follows the links to where they end. Those that lead round in a circle
// are left out.
func ends(next map[string]string) map[string]string {
	into := map[string]string{}
	for old := range next {
		end := old
		for steps := 0; next[end] != "" && steps <= len(next); steps++ {
			end = next[end]
		}
		if next[end] == "" {
			into[old] = end
		}
	}
	return into
}

// touch gives every touched record a new version and marks it as stale. Facts
// of people who are not here yet touch nobody; those of a merged record touch
// the one it was merged into.
func (in *importing) touch() error {
	m, err := readMerges(in.conn)
	if err != nil {
		return err
	}
	for _, person := range m.survivors(in.touched) {
		n, err := touch(in.conn, person)
		if err != nil {
			return err
		}
		if n > 0 {
			in.counts.Touched = append(in.counts.Touched, person)
		}
	}
	if len(in.touched) == 0 && in.counts.Removed == 0 {
		return nil
	}
	return countChange(in.conn)
}

// touch marks the record of a person who may have been merged into another.
func touch(c *conn, person string) (int64, error) {
	return c.exec(`UPDATE person SET version = version + 1, stale = 1
		WHERE id = ifnull((SELECT survivor FROM merged WHERE old = ?1), ?1)`, person)
}

// changesSetting counts the transactions that changed a record.
const changesSetting = "record-changes"

func countChange(c *conn) error {
	_, err := c.exec(`INSERT INTO setting (key, value) VALUES (?1, '1')
		ON CONFLICT (key) DO UPDATE SET value = CAST(CAST(value AS INTEGER) + 1 AS TEXT)`, changesSetting)
	return err
}

// merges says who was merged into whom.
type merges struct {
	into map[string]string
	old  map[string][]string
}

func readMerges(c *conn) (merges, error) {
	m := merges{into: map[string]string{}, old: map[string][]string{}}
	err := c.query(`SELECT old, survivor FROM merged ORDER BY old`, nil, func(s *sqlite3.Stmt) error {
		old, survivor := s.ColumnText(0), s.ColumnText(1)
		m.into[old] = survivor
		m.old[survivor] = append(m.old[survivor], old)
		return nil
	})
	return m, err
}

// survivors replaces merged people by those they were merged into and returns
// each once, in order.
func (m merges) survivors(people []string) []string {
	out := make([]string, 0, len(people))
	for _, p := range people {
		if survivor, ok := m.into[p]; ok {
			p = survivor
		}
		out = append(out, p)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// join adds to a record what belongs to the records that were merged into it.
// The statements differ by their comment from those of the walk under way.
func (w *walk) join(rec *record.Record, old []string) error {
	list, err := json.Marshal(old)
	if err != nil {
		return err
	}
	args := []any{string(list)}
	const mark = ` /* of merged records */`
	err = errors.Join(
		w.conn.query(someRecords.person+mark, args, func(s *sqlite3.Stmt) error {
			var p record.Person
			err := unmarshal(s.ColumnRawBlob(2), &p, "person", s.ColumnText(0))
			for _, id := range p.Identifiers {
				if !slices.Contains(rec.Person.Identifiers, id) {
					rec.Person.Identifiers = append(rec.Person.Identifiers, id)
				}
			}
			return err
		}),
		w.conn.query(someRecords.fact+mark, args, func(s *sqlite3.Stmt) error { return w.addFact(rec, s) }),
		w.conn.query(someRecords.exam+mark, args, func(s *sqlite3.Stmt) error { return addExam(rec, s) }),
		w.conn.query(someRecords.referral+mark, args, func(s *sqlite3.Stmt) error { return addReferral(rec, s) }),
	)
	rec.Facts, _ = record.Settle(rec.Facts)
	return err
}
