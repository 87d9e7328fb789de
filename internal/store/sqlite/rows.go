package sqlite

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

type personRow struct {
	id string
	// came counts the people of the batch as they came.
	came        int
	doc, origin []byte
	version     record.Version
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
	version     record.Version
}

// personRows writes the documents and puts them in order of id, of two with the
// same id only the one that stands; older counts those that came in an older
// version. Where a thing came from stands beside the document, so that the same
// content from another file is the same.
func personRows(people []record.Person) (rows []*personRow, older int, err error) {
	rows = make([]*personRow, 0, len(people))
	for i, p := range people {
		origin, err := json.Marshal(p.Origin)
		if err != nil {
			return nil, 0, fmt.Errorf("write the origin of person %s: %w", p.ID, err)
		}
		p.Origin = record.Origin{}
		doc, err := json.Marshal(p)
		if err != nil {
			return nil, 0, fmt.Errorf("write person %s: %w", p.ID, err)
		}
		if p.ID == "" {
			return nil, 0, clinic.Errorf(clinic.Invalid, "a person without an id cannot be kept")
		}
		rows = append(rows, &personRow{p.ID, i, doc, origin, p.Version, linksOf(&p)})
	}
	slices.SortFunc(rows, func(a, b *personRow) int {
		return cmp.Or(strings.Compare(a.id, b.id), a.came-b.came)
	})
	kept := rows[:0]
	for _, r := range rows {
		switch last := len(kept) - 1; {
		case last < 0 || kept[last].id != r.id:
			kept = append(kept, r)
		case r.version.Before(kept[last].version):
			older++
		default:
			kept[last] = r
		}
	}
	return kept, older, nil
}

// factRows is personRows for facts. Parts that did not come with the fact that
// stands are left out and not counted.
func factRows(facts []clinic.PersonFact) (rows []*factRow, older int, err error) {
	rows = make([]*factRow, 0, len(facts))
	for i := range facts {
		f := facts[i].Fact
		if facts[i].Person == "" || f.Key == "" {
			return nil, 0, clinic.Errorf(clinic.Invalid, "a fact without a person or a key cannot be kept")
		}
		low, _ := f.Start.Days(nil)
		row := &factRow{
			person: facts[i].Person, key: f.Key, kind: int64(f.Kind), start: int64(low),
			source: f.Origin.Source, line: f.Origin.Line, came: i, version: f.Version,
		}
		if whole, part := f.Whole(); part {
			row.whole = whole
		}
		f.Key, f.Origin = "", record.Origin{} // both stand in columns
		if row.doc, err = json.Marshal(f); err != nil {
			return nil, 0, fmt.Errorf("write fact %s of person %s: %w", row.key, row.person, err)
		}
		rows = append(rows, row)
	}
	slices.SortFunc(rows, func(a, b *factRow) int {
		if a.person != b.person {
			return strings.Compare(a.person, b.person)
		}
		if a.key != b.key {
			return strings.Compare(a.key, b.key)
		}
		return a.came - b.came
	})
	rows, older = standing(rows)
	return rows, older, nil
}

// standing keeps of each key the row that stands. A part sorts behind its whole;
// one that came before it, or in an older version, belongs to another state.
func standing(rows []*factRow) (kept []*factRow, older int) {
	kept = rows[:0]
	whole := &factRow{}
	for _, r := range rows {
		if r.whole != "" && r.person == whole.person && r.whole == whole.key && (r.came < whole.came || r.version.Before(whole.version)) {
			continue
		}
		last := len(kept) - 1
		again := last >= 0 && kept[last].key == r.key && kept[last].person == r.person
		switch {
		case !again:
			kept = append(kept, r)
		case r.version.Before(kept[last].version):
			if r.whole == "" {
				older++
			}
			continue
		default:
			kept[last] = r
		}
		if r.whole == "" {
			whole = r
		}
	}
	return kept, older
}
