package risk

import (
	"fmt"

	"tengram/internal/kernel/source"
)

// row is one row of a published table: a category and who is in it. A person is
// in the first row of the system that holds.
type row struct {
	rank  int
	holds func(Set) bool
	// rests lists the factors that the row's criterion reads.
	rests Set
	// says is the criterion in one sentence, with its source.
	says   string
	source *source.Source
	// also are further reasons that stand beside the criterion.
	also source.Because
}

// reading is one way to read a system: its rows, and the answer of every
// assignment of its factors worked out beforehand, so that judging a person is
// a look-up.
type reading struct {
	rows []row
	// cells has 2^n entries for n factors; bit i of the index is the system's
	// factor i, in its own order.
	cells []cell
}

// cell is the answer for one assignment. For a combination without a row, row
// is -1 and rank is that of the nearest row.
type cell struct {
	rank int8
	row  int8
}

// setOf makes a Set of factors.
func setOf(fs ...Factor) Set {
	var s Set
	for _, f := range fs {
		s |= 1 << f
	}
	return s
}

// hasAny reports whether one of the factors is set.
func (s Set) hasAny(of Set) bool { return s&of != 0 }

// finish makes a System whole from its rows. A table that contradicts itself is
// a mistake of this package, so it panics; the tests build every system.
func (s System) finish(literal, cautious []row) System {
	s.literal = s.read(literal)
	if cautious != nil {
		s.cautious = s.read(cautious)
	}
	s.Judge = func(x Set) int {
		if i := find(literal, x); i >= 0 {
			return literal[i].rank
		}
		return -1
	}
	noRow := s.noRow
	s.Explain = func(x Set, rank int) source.Because {
		if rank < 0 {
			return source.Because{noRow}
		}
		for _, rows := range [][]row{literal, cautious} {
			if i := find(rows, x); i >= 0 && rows[i].rank == rank {
				return rows[i].explain(nil)
			}
		}
		return nil
	}
	return s
}

// read works out the answers of every assignment.
func (s *System) read(rows []row) reading {
	cells := make([]cell, 1<<len(s.Factors))
	for at := range cells {
		if i := find(rows, s.set(at)); i >= 0 {
			cells[at] = cell{int8(rows[i].rank), int8(i)}
		} else {
			cells[at] = cell{s.nearest(rows, at), -1}
		}
	}
	return reading{rows, cells}
}

// nearest is the rank of the same person with one finding less, the highest
// where several have a row: our proposal for combinations that a text leaves
// out (ADA 2008, deformity alone).
func (s *System) nearest(rows []row, at int) int8 {
	rank := -1
	for b := range s.Factors {
		if at&(1<<b) == 0 {
			continue
		}
		if i := find(rows, s.set(at&^(1<<b))); i >= 0 {
			rank = max(rank, rows[i].rank)
		}
	}
	if rank < 0 {
		panic(fmt.Sprintf("risk system %s has neither a row nor a neighbour for assignment %b", s.ID, at))
	}
	return int8(rank)
}

// set turns an index of cells into a Set.
func (s *System) set(at int) Set {
	var x Set
	for b, f := range s.Factors {
		if at&(1<<b) != 0 {
			x |= 1 << f
		}
	}
	return x
}

// find returns the first row that holds, or -1.
func find(rows []row, x Set) int {
	for i := range rows {
		if rows[i].holds(x) {
			return i
		}
	}
	return -1
}

// explain appends the row's own reasons.
func (r *row) explain(b source.Because) source.Because {
	b = append(b, source.Reason{Says: r.says, Source: r.source})
	return append(b, r.also...)
}
