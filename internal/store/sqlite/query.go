package sqlite

import (
	"context"
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"github.com/ncruces/go-sqlite3"

	"tengram/internal/clinic"
	"tengram/internal/kernel/when"
)

// orders are the orders of the panel. Each ends in the id, so that pages of a
// list never overlap.
var orders = map[string]string{
	"":       "place, person",
	"due":    "place, person",
	"name":   "search, person",
	"ulcers": "open_ulcers DESC, place, person",
}

// Standings implements clinic.Panel.
func (s *Store) Standings(ctx context.Context, q clinic.PanelQuery) (rows []clinic.Standing, total int, err error) {
	order, ok := orders[q.Order]
	if !ok {
		return nil, 0, clinic.Errorf(clinic.Invalid, "a list has no order %q; it has due, name and ulcers", q.Order)
	}
	where, args, err := conditions(q)
	if err != nil {
		return nil, 0, err
	}
	p := page{order: order, left: q.Limit, skip: max(q.Offset, 0)}
	if q.Limit <= 0 {
		p.left = math.MaxInt32
	}
	err = s.read(ctx, func(c *conn) error {
		cut := parts(q)
		sizes, err := count(c, where, cut, args)
		if err != nil {
			return err
		}
		for i, part := range cut {
			if err := p.read(c, join(where, part), sizes[i], args); err != nil {
				return err
			}
		}
		return nil
	})
	return p.rows, p.total, err
}

// everything is the part that is the whole list.
const everything = "1"

// parts cuts the order of calling into those who are due, those who will be,
// and those who are not recalled. Inside each, the order does not hang on today
// and stands in an index.
func parts(q clinic.PanelQuery) []string {
	if (q.Order != "" && q.Order != "due") || q.Today.IsZero() {
		return []string{everything}
	}
	today := strconv.Itoa(int(q.Today))
	due := "due BETWEEN 1 AND " + today
	switch {
	case q.DueBy.IsZero():
		return []string{due, "due > " + today, "due <= 0"}
	case q.DueBy > q.Today:
		return []string{due, "due > " + today}
	}
	return []string{everything}
}

// count counts the parts of a list in one walk.
func count(c *conn, where string, cut []string, args []any) ([]int, error) {
	text := "count(*)"
	if len(cut) > 1 {
		text = "sum(" + strings.Join(cut, "), sum(") + ")"
	}
	sizes := make([]int, len(cut))
	_, err := c.one(`SELECT `+text+` FROM standing`+where, args, func(s *sqlite3.Stmt) error {
		for i := range sizes {
			sizes[i] = s.ColumnInt(i) // NULL, the sum of nothing, is 0
		}
		return nil
	})
	return sizes, err
}

func join(where, condition string) string {
	switch {
	case condition == everything:
		return where
	case where == "":
		return " WHERE " + condition
	}
	return where + " AND " + condition
}

// page is the rows of a list from skip on, read part after part.
type page struct {
	order      string
	left, skip int
	rows       []clinic.Standing
	total      int
}

func (p *page) read(c *conn, where string, n int, args []any) error {
	p.total += n
	if n <= p.skip || p.left <= 0 {
		p.skip = max(p.skip-n, 0)
		return nil
	}
	// The page is chosen from an index alone; only its rows are read.
	text := `SELECT doc FROM standing WHERE person IN (SELECT person FROM standing` + where + ` ORDER BY ` + p.order + ` LIMIT ? OFFSET ?) ORDER BY ` + p.order
	err := c.query(text, append(args[:len(args):len(args)], p.left, p.skip), func(s *sqlite3.Stmt) error {
		p.rows = append(p.rows, clinic.Standing{})
		p.left--
		return unmarshal(s.ColumnRawBlob(0), &p.rows[len(p.rows)-1], "panel row", "")
	})
	p.skip = 0
	return err
}

// conditions writes the query's filters. There are few shapes of them, so that
// the prepared statements stay few.
func conditions(q clinic.PanelQuery) (where string, args []any, err error) {
	var all []string
	add := func(condition string, values ...any) {
		all = append(all, condition)
		args = append(args, values...)
	}
	if q.Diabetes {
		add("panel = 1")
	}
	if !q.DueBy.IsZero() {
		add("watched = 1 AND due BETWEEN 1 AND ?", q.DueBy)
	}
	if !q.VisitFrom.IsZero() || !q.VisitTo.IsZero() {
		to := q.VisitTo
		if to.IsZero() {
			to = when.Date(9999, 12, 31)
		}
		add("next_visit > 0 AND next_visit BETWEEN ? AND ?", q.VisitFrom, to)
	}
	if q.Clinician != "" {
		add("clinician = ?", q.Clinician)
	}
	if q.Site != "" {
		add("site = ?", q.Site)
	}
	if q.People != nil {
		list, err := json.Marshal(q.People)
		if err != nil {
			return "", nil, err
		}
		add("person IN (SELECT value FROM json_each(?))", string(list))
	}
	words := strings.Fields(fold(q.Text))
	if len(words) > 8 {
		return "", nil, clinic.Errorf(clinic.Invalid, "a search has 8 words at most, not %d", len(words))
	}
	for _, w := range words {
		add("instr(search, ?) > 0", w)
	}
	if len(all) == 0 {
		return "", nil, nil
	}
	return " WHERE " + strings.Join(all, " AND "), args, nil
}

// Counts implements clinic.Panel.
func (s *Store) Counts(ctx context.Context, today when.Day) (n clinic.Counts, err error) {
	err = s.read(ctx, func(c *conn) error {
		err := c.query(`SELECT risk_low, risk_high, count(*), sum(due BETWEEN 1 AND ?1), sum(overdue_after BETWEEN 1 AND ?1 - 1), sum(last_exam = 0)
			FROM standing WHERE panel = 1 AND watched = 1 GROUP BY risk_low, risk_high`, []any{today}, func(s *sqlite3.Stmt) error {
			low, high, people := s.ColumnInt(0), s.ColumnInt(1), s.ColumnInt(2)
			switch {
			case low >= 0 && low != high:
				n.Unsettled += people
			case low >= 0 && low < len(n.ByRisk):
				n.ByRisk[low] += people
			}
			n.Diabetes += people
			n.Due += s.ColumnInt(3)
			n.Overdue += s.ColumnInt(4)
			n.NeverExamined += s.ColumnInt(5)
			return nil
		})
		if err != nil {
			return err
		}
		_, err = c.one(`SELECT (SELECT count(*) FROM person) - (SELECT count(*) FROM merged m JOIN person p ON p.id = m.old), (SELECT count(*) FROM person WHERE stale = 1),
			(SELECT ifnull(sum(open_ulcers), 0) FROM standing WHERE open_ulcers > 0 AND +watched = 1),
			(SELECT count(*) FROM referral WHERE closed = 0),
			(SELECT count(*) FROM referral WHERE closed = 0 AND due BETWEEN 1 AND ?1 - 1)`, []any{today}, func(s *sqlite3.Stmt) error {
			n.People, n.Stale, n.OpenUlcers, n.OpenReferrals, n.LateReferrals = s.ColumnInt(0), s.ColumnInt(1), s.ColumnInt(2), s.ColumnInt(3), s.ColumnInt(4)
			return nil
		})
		return err
	})
	return n, err
}
