package web

import (
	"net/url"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// preset is one answer that "all normal" records.
type preset struct{ path, value string }

// normals says, for each block, exactly what one touch of "all normal" records.
// A test holds the words of the button against it by eye and the paths by rule:
// each value is the hoped-for answer of its field. What a touch cannot know
// (tobacco, HbA1c, pressures) is not in it.
func normals(block string) []preset {
	switch block {
	case "ask":
		return presets("no", "ask.numbness", "ask.neuropathic-pain", "ask.claudication", "ask.rest-pain", "ask.rest-pain-new", "vitals.unwell",
			"ask.ulcer-history", "ask.amputation-history", "ask.charcot-history", "ask.revascularised", "ask.pad-diagnosed",
			"ask.venous-disease", "ask.retinopathy", "ask.kidney-disease", "ask.kidney-failure", "ask.dialysis",
			"ask.kidney-transplant", "ask.other-neuropathy-cause",
			"ask.cannot-reach", "ask.low-vision", "ask.walks-barefoot").and(presets("yes", "ask.daily-check"))
	case "look":
		return presets("whole", side+".loss.level").
			and(presets("normal", side+".look.skin", side+".look.wound", side+".look.nails", side+".look.shape",
				side+".look.mobility", side+".look.muscle-wasting", "footwear.suitable")).
			and(presets("none", side+".look.gangrene")).
			and(presets("no", side+".look.redness"))
	case "feel":
		return presets("present", side+".feel.arteries.dorsalis-pedis", side+".feel.arteries.posterior-tibial").
			and(presets("normal", side+".feel.arteries.capillary-refill", side+".feel.oedema")).
			and(presets("no", side+".feel.warm", side+".feel.swollen", side+".feel.suddenly-cold"))
	case "test":
		var sites presetList
		for s := range neuro.SiteCount {
			sites = append(sites, preset{side + ".test.filament." + s.String(), "normal"})
		}
		return sites.and(presets("normal", side+".test.vibration")).and(presets("present", side+".test.ankle-reflex"))
	case "teach":
		return presets("yes", "teach.given", "teach.taught-back")
	}
	return nil
}

type presetList []preset

func presets(value string, paths ...string) presetList {
	var list presetList
	for _, p := range paths {
		list = append(list, preset{p, value})
	}
	return list
}

func (l presetList) and(more presetList) presetList { return append(l, more...) }

// bothFeet spells a path for each foot, or alone where it is of the person.
func bothFeet(path string) []string {
	if !strings.Contains(path, side) {
		return []string{path}
	}
	var paths []string
	for _, s := range foot.Sides {
		paths = append(paths, strings.ReplaceAll(path, side, s.String()))
	}
	return paths
}

// normalNow lists what "all normal" would record of a block for this exam: only
// places that are there, and nothing against what the record already says.
func normalNow(block string, d exam.Draft, bg exam.Background) []preset {
	gone := gonePaths(d)
	said := recordSays(bg)
	var list []preset
	for _, p := range normals(block) {
		for _, path := range bothFeet(p.path) {
			if !slices.Contains(gone, path) && said[path] == "" {
				list = append(list, preset{path, p.value})
			}
		}
	}
	return list
}

// applyNormal fills in what a block still lacks; an answer that is there is
// never changed, and a site outside the protocol is not tested by a touch.
func applyNormal(form url.Values, list []preset, protocol neuro.Protocol) {
	for _, p := range list {
		if _, site, ok := strings.Cut(p.path, ".test.filament."); ok && !inProtocol(protocol, site) {
			continue
		}
		if strings.Join(form[p.path], "") == "" {
			form.Set(p.path, p.value)
		}
	}
}

// inProtocol reports whether a monofilament site is tested; without a protocol
// all ten are offered and none is filled in by a touch.
func inProtocol(p neuro.Protocol, site string) bool {
	return slices.ContainsFunc(p.Sites(), func(s neuro.Site) bool { return s.String() == site })
}

// gonePaths lists the questions that amputation has taken away.
func gonePaths(d exam.Draft) []string {
	var gone []string
	for _, b := range blocks() {
		for _, g := range b.groups {
			for _, f := range g.fields {
				if !strings.HasPrefix(f.path, side) || strings.HasPrefix(f.path, side+".loss.") {
					continue
				}
				for _, s := range foot.Sides {
					loss := d.Foot(s).Loss
					if loss.FootGone() || (f.place != foot.NoPlace && !loss.Has(f.place)) {
						gone = append(gone, strings.ReplaceAll(f.path, side, s.String()))
					}
				}
			}
		}
	}
	return gone
}

// recordSays gives, by the path of the question, what the record already knows.
func recordSays(bg exam.Background) map[string]string {
	said := map[string]string{}
	for _, i := range []struct {
		path string
		item exam.Item
	}{
		{"ask.ulcer-history", bg.UlcerHistory}, {"ask.amputation-history", bg.Amputation},
		{"ask.charcot-history", bg.CharcotHistory}, {"ask.revascularised", bg.Revascularised},
		{"ask.pad-diagnosed", bg.PAD}, {"ask.retinopathy", bg.Retinopathy}, {"ask.low-vision", bg.LowVision},
		{"ask.kidney-failure", bg.KidneyFailure}, {"ask.dialysis", bg.Dialysis},
		{"ask.kidney-transplant", bg.Transplant}, {"ask.kidney-disease", bg.EGFRBelow30}, {"ask.smoking", bg.Smoker},
	} {
		if i.item.Is == known.Yes {
			said[i.path] = "The record says yes"
			if i.item.From != "" {
				said[i.path] += ": " + i.item.From
			}
		}
	}
	for _, s := range foot.Sides {
		if l := bg.Loss[s]; l.Any() == known.Yes {
			said[s.String()+".loss.level"] = "The record says: " + lossWords(l)
		}
	}
	return said
}

func lossWords(l foot.Loss) string {
	for _, o := range lossLevels {
		if o.value == l.Level.String() {
			return strings.ToLower(o.label)
		}
	}
	return "not recorded"
}

// normalWords says exactly what a touch records, in the words of the form.
func normalWords(block string) string {
	var words []string
	for _, p := range normals(block) {
		if strings.HasPrefix(p.path, side+".test.filament.") {
			if len(words) == 0 {
				words = append(words, "monofilament, every site of the protocol: felt")
			}
			continue
		}
		f, _ := fieldAt(p.path)
		word, _ := optionOf(f, p.value)
		words = append(words, lower(f.label)+": "+lower(word))
	}
	return strings.Join(words, "; ")
}

// fieldAt finds the field of a path as the tables spell it.
func fieldAt(path string) (field, bool) {
	for _, b := range blocks() {
		for _, g := range b.groups {
			for _, f := range g.fields {
				if f.path == path {
					return f, true
				}
			}
		}
	}
	return field{}, false
}

// lower begins a text with a small letter.
func lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
