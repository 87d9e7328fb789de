package web

import (
	"slices"

	"tengram/internal/kernel/risk"
)

// ownCategory offers the categories of the system in force for the clinician's
// own judgement, and leaves the question out for somebody who may not overrule
// and where nobody did.
func (v *formView) ownCategory(result resultView, may bool) {
	for i := range v.Blocks {
		groups := &v.Blocks[i].Groups
		for j := range *groups {
			g := &(*groups)[j]
			if g.id != "override" {
				continue
			}
			category := &g.Rows[0].Controls[0]
			if !may && category.Value() == "" && g.Rows[1].Controls[0].Value() == "" {
				*groups = slices.Delete(*groups, j, j+1)
				return
			}
			if options := categoriesOf(result); len(options) > 0 {
				category.as, category.main = pick, options
				category.main = offered(category.field, category.Values)
			}
			return
		}
	}
}

// categoriesOf lists the categories of the system that leads a result.
func categoriesOf(result resultView) []option {
	if len(result.Risks) == 0 {
		return nil
	}
	system, ok := risk.ByID(result.Risk().System)
	if !ok {
		return nil
	}
	options := []option{{"", "Not recorded", apart}}
	for _, c := range system.Categories {
		options = append(options, option{c.Code, c.Code + ", " + c.Name, notable})
	}
	return options
}
