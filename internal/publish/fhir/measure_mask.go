package fhir

import (
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/trend"
	"tengram/internal/publish/guard"
)

// mask says which counts of a summary are left out, so that none below
// guard.SmallBelow is shown nor can be worked out from what is shown: group by
// group, and of everybody, a flag for each population.
type mask struct {
	groups [][]bool
	all    []bool
}

// maskOf asks the guard for each population, and for the met of those who are
// counted, since the rest of them are the people not met. People in no group are
// one more group: everybody without the groups tells how many they are.
func maskOf(ks []kind, t measure.Tally) mask {
	groups := make([]measure.Counts, 0, len(t.Strata)+1)
	rest := t.Counts
	for _, s := range t.Strata {
		groups = append(groups, s.Counts)
		rest.InitialPopulation -= s.InitialPopulation
		rest.Denominator -= s.Denominator
		rest.DenominatorExclusion -= s.DenominatorExclusion
		rest.Exception -= s.Exception
		rest.Numerator -= s.Numerator
	}
	groups = append(groups, rest)
	m := mask{all: make([]bool, len(ks))}
	for range groups {
		m.groups = append(m.groups, make([]bool, len(ks)))
	}
	for k := range ks {
		g := guarded(groups, func(c measure.Counts) trend.Share { return trend.Share{Of: ks[k].of(c)} })
		for i, group := range g.Groups {
			m.groups[i][k] = group.OfHidden
		}
		m.all[k] = g.Total.OfHidden
	}
	g := guarded(groups, func(c measure.Counts) trend.Share {
		return trend.Share{Met: c.Numerator, Of: c.Denominator - c.DenominatorExclusion - c.Exception}
	})
	for i, group := range g.Groups {
		hide(m.groups[i], group)
	}
	hide(m.all, g.Total)
	return m
}

// hide leaves out the last population, the numerator, where the met are hidden,
// and all of them where it is hidden how many are counted.
func hide(row []bool, g trend.GuardedGroup) {
	for k := range row {
		row[k] = row[k] || g.OfHidden || g.MetHidden && k == len(row)-1
	}
}

func guarded(groups []measure.Counts, share func(measure.Counts) trend.Share) trend.Guarded {
	list := make([]trend.Group, len(groups))
	for i, c := range groups {
		list[i].Share = share(c)
	}
	return trend.Guard(list, guard.SmallBelow)
}

// apply leaves the hidden counts of one group out, and with any of them the
// score, from which it could be worked out.
func apply(row []bool, populations []population, score **quantity) {
	for k, hidden := range row {
		if hidden {
			populations[k].Count, populations[k].CountElement = nil, &element{because("masked")}
			*score = &quantity{Extension: because("masked")}
		}
	}
}
