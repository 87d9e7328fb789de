package exam

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Check turns a draft into an exam. It returns every problem it finds, each
// with its field; the exam is only to be used when none of them blocks.
//
// Check never asks for completeness: an exam with one recorded finding may be
// signed, and says what it lacks. It refuses contradictions, impossible values
// and findings on parts that are not there.
func Check(d Draft) (Exam, []Problem) {
	c := &checker{}
	c.head(&d)
	c.ask(&d)
	for _, side := range foot.Sides {
		c.foot(side, &d)
	}
	c.ulcers(&d)
	c.numbers(&d)
	return Exam{d}, c.problems
}

// Blocked reports whether one of the problems blocks signing.
func Blocked(ps []Problem) bool {
	for _, p := range ps {
		if p.Blocks {
			return true
		}
	}
	return false
}

type checker struct{ problems []Problem }

func (c *checker) block(field, format string, args ...any) {
	c.problems = append(c.problems, Problem{field, fmt.Sprintf(format, args...), true})
}

func (c *checker) warn(field, format string, args ...any) {
	c.problems = append(c.problems, Problem{field, fmt.Sprintf(format, args...), false})
}

func (c *checker) head(d *Draft) {
	if d.Schema != SchemaID {
		c.block("schema", "the document says %q; this program reads %q", d.Schema, SchemaID)
	}
	if d.ID == "" {
		c.block("id", "the exam has no id")
	}
	if d.Patient == "" {
		c.block("patient", "the exam names no person")
	}
	if d.At.Precision() != when.Instant {
		c.block("at", "the time of the exam must be a date and time with its offset from UTC")
	}
	if d.Examiner.Name == "" && d.Examiner.ID == "" {
		c.block("examiner", "say who did the exam")
	}
	switch {
	case d.Revision < 1:
		c.block("revision", "the revision counts from 1")
	case d.Revision == 1 && d.Amends != nil:
		c.block("amends", "the first revision amends nothing")
	case d.Revision > 1 && (d.Amends == nil || d.Amends.Revision != d.Revision-1):
		c.block("amends", "revision %d must amend revision %d", d.Revision, d.Revision-1)
	case d.Amends != nil && d.Amends.Reason == "":
		c.block("amends.reason", "say why the exam is amended")
	}
	if d.Protocol.IsZero() && !(d.Right.Test.Filament.IsZero() && d.Left.Test.Filament.IsZero()) {
		c.block("protocol", "say which monofilament sites the practice tests, so that two testers can be compared")
	}
	if s := d.Seconds; min(s.Ask, s.Look, s.Feel, s.Test, s.Teach) < 0 {
		c.warn("seconds", "a time below nought counts as not kept")
	}
	if o := d.Override; o != nil {
		if o.Category == "" {
			c.block("override.category", "the clinician's own category is missing")
		}
		if o.Reason == "" {
			c.block("override.reason", "say why the category differs from the computed one")
		}
	}
}

func (c *checker) ask(d *Draft) {
	lost := known.Any(d.Right.Loss.Any(), d.Left.Loss.Any())
	if d.Ask.AmputationHistory == known.AnswerNo && lost == known.Yes {
		c.block("ask.amputation-history", "answered no, but a part of a foot or leg is recorded as amputated")
	}
	if d.Ask.AmputationHistory == known.AnswerYes && lost == known.No {
		c.warn("ask.amputation-history", "answered yes, but both feet are recorded as whole: say which part is missing")
	}
	if d.Ask.RestPainNew == known.AnswerYes && d.Ask.RestPain == known.AnswerNo {
		c.block("ask.rest-pain", "new pain at rest is answered yes, and pain at rest no")
	}
	if d.Ask.KidneyFailure == known.AnswerNo && d.Ask.Dialysis == known.AnswerYes {
		c.block("ask.kidney-failure", "dialysis is answered yes, and kidney failure no")
	}
}

func (c *checker) foot(side foot.Side, d *Draft) {
	f := d.Foot(side)
	at := func(path string) string { return side.String() + "." + path }
	switch l := f.Loss; {
	case l.Level == foot.ToesOnly && l.Toes|l.Rays == 0:
		c.block(at("loss.toes"), "say which toes are missing")
	case l.Level != foot.ToesOnly && l.Toes|l.Rays != 0:
		c.block(at("loss.level"), "missing toes are listed, so the level must be \"toes\"")
	}
	if f.Loss.FootGone() && !(f.Look.IsZero() && f.Feel.IsZero() && f.Test.IsZero()) {
		c.block(at("loss.level"), "the %s foot is recorded as amputated, but findings of it are recorded too", side)
		return
	}
	c.look(at, side, f, d)
	c.sites(at, f)
	if toe := f.Feel.Arteries.ToeUsed; toe < 0 || toe > 5 {
		c.block(at("feel.arteries.toe-used"), "toe %d is not 1 to 5", toe)
	}
}

func (c *checker) look(at func(string) string, side foot.Side, f *Foot, d *Draft) {
	l := f.Look
	if l.Skin == known.Normal && len(l.Lesions) > 0 {
		c.block(at("look.skin"), "skin is recorded as normal, but %d skin findings are listed", len(l.Lesions))
	}
	for i, lesion := range l.Lesions {
		field := at(fmt.Sprintf("look.lesions.%d", i))
		if lesion.Kind == NoLesion || lesion.Place == foot.NoPlace {
			c.block(field, "a skin finding needs its kind and its place")
		} else if !f.Loss.Has(lesion.Place) {
			c.block(field, "the %s is recorded as amputated", lesion.Place.Words())
		}
	}
	if l.Nails == known.Normal && len(l.NailKind) > 0 {
		c.block(at("look.nails"), "nails are recorded as normal, but findings are listed")
	}
	if l.Shape == known.Normal && len(l.Deformities) > 0 {
		c.block(at("look.shape"), "the shape is recorded as normal, but a deformity is listed")
	}
	if l.Shape == known.Abnormal && len(l.Deformities) == 0 {
		c.warn(at("look.shape"), "say which deformity it is")
	}
	open := false
	for _, u := range d.Ulcers {
		open = open || (u.Side == side && u.Open() == known.Yes)
	}
	if l.Wound == known.Normal && open {
		c.block(at("look.wound"), "no open wound is recorded, but an open ulcer is listed on this foot")
	}
	if l.Wound == known.Abnormal && !open {
		c.warn(at("look.wound"), "describe the open wound: place, size, depth, signs of infection")
	}
}

// sites checks that lost places are absent and present places are not.
func (c *checker) sites(at func(string) string, f *Foot) {
	for s, v := range f.Test.Filament {
		site := siteAt(s)
		switch there := f.Loss.Has(site.Place()); {
		case !there && v.Tested():
			c.block(at("test.filament."+site.String()), "the %s is recorded as amputated, but a result is recorded there", site.Place().Words())
		case there && v == known.Absent:
			c.block(at("test.filament."+site.String()), "recorded as absent, but no amputation of the %s is recorded", site.Place().Words())
		}
	}
	touch := []struct {
		name string
		toe  foot.Place
		v    known.Finding
	}{
		{"toe1", foot.Hallux, f.Test.Touch.Toe1}, {"toe3", foot.Toe3, f.Test.Touch.Toe3}, {"toe5", foot.Toe5, f.Test.Touch.Toe5},
	}
	for _, t := range touch {
		if !f.Loss.Has(t.toe) && t.v.Tested() {
			c.block(at("test.touch."+t.name), "the %s is recorded as amputated, but a result is recorded there", t.toe.Words())
		}
	}
}

func (c *checker) ulcers(d *Draft) {
	seen := map[string]bool{}
	for i, u := range d.Ulcers {
		field := fmt.Sprintf("ulcers.%d", i)
		if u.ID == "" || seen[u.ID] {
			c.block(field+".id", "each ulcer needs a name of its own, such as u1")
		}
		seen[u.ID] = true
		if u.Place == foot.NoPlace {
			c.block(field+".place", "say where the ulcer is")
		} else if f := d.Foot(u.Side); !f.Loss.Has(u.Place) && !(f.Loss.FootGone() && u.Place == foot.Stump) {
			c.block(field+".place", "the %s of the %s foot is recorded as amputated", u.Place.Words(), u.Side)
		}
		c.whole(field+".size.length-mm", u.Size.LengthMM, 1, 500, "millimetres")
		c.whole(field+".size.width-mm", u.Size.WidthMM, 1, 500, "millimetres")
		for _, p := range wound.Problems(u) {
			c.block(field+strings.TrimPrefix(p.Field, "ulcers."+u.ID), "%s", p.Says)
		}
	}
}
