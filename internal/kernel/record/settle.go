package record

import "strings"

// Settle returns a new list of the facts of one person that stand, in the order
// in which they came: of one key the newest version, and the last where versions
// do not decide. Parts stand that came with the fact they are a part of. older
// counts the versions that gave way to a newer one; parts are not counted.
func Settle(facts []Fact) (kept []Fact, older int) {
	stands := make(map[string]int, len(facts))
	for i := range facts {
		if _, part := facts[i].Whole(); part {
			continue
		}
		if j, again := stands[facts[i].Key]; !again || !facts[i].Version.Before(facts[j].Version) {
			stands[facts[i].Key] = i
		}
	}
	for i := range facts {
		whole, part := facts[i].Whole()
		if !part {
			continue
		}
		if j, ok := stands[whole]; ok && (i < j || facts[i].Version.Before(facts[j].Version)) {
			continue
		}
		if j, again := stands[facts[i].Key]; !again || !facts[i].Version.Before(facts[j].Version) {
			stands[facts[i].Key] = i
		}
	}
	kept = make([]Fact, 0, len(stands))
	for i := range facts {
		j, ok := stands[facts[i].Key]
		if ok && j == i {
			kept = append(kept, facts[i])
			continue
		}
		if _, part := facts[i].Whole(); !part && facts[i].Version.Before(facts[j].Version) {
			older++
		}
	}
	return kept, older
}

// Whole returns the key of the fact that this one is a part of, such as
// "Observation/17" for "Observation/17#2", and whether it is one.
func (f Fact) Whole() (key string, part bool) {
	key, _, part = strings.Cut(f.Key, "#")
	return key, part
}
