package wound

import (
	"fmt"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
)

var (
	cltiRule    = source.GVG2019.At("CLTI: PAD with an ulcer of more than 2 weeks", source.Confirmed)
	imaging2015 = source.IWGDF2015PAD.At("vascular imaging of every ulcer not healed at 6 weeks", source.Secondary)
	imaging2023 = source.IWGDF2023PAD.At("vascular imaging after 4 to 6 weeks of good care", source.Memory)
	changeRule  = own("a change for the worse since the last visit")
	measureRule = own("without sizes, healing is not known")
)

// worry lists why an open ulcer needs a new look: first what it did since the
// last visit, then the time limits that it has passed. days is how long the
// ulcer has surely been open, -1 when that is not known.
func worry(in *Input, at string, h *history, heal *Healing) source.Because {
	w := sinceLast(in, at, h)
	if heal != nil && heal.OnTrack == known.No {
		w = append(w, heal.Because[:len(heal.Because)-1]...) // all but the method
	}
	days := h.openDays(in)
	if days < 0 {
		return w
	}
	smaller := heal != nil && heal.ReductionPercent.Value > 0
	if days >= twoWeeks && !smaller {
		w = append(w, reason(fmt.Sprintf("Open for %d days and not known to be smaller: after 2 weeks a specialised foot service should see even an uncomplicated ulcer.", days), at, fastTrackRule))
	}
	if days > twoWeeks && (in.Perfusion.Level == perfusion.Likely || in.Perfusion.Critical == known.Yes) {
		w = append(w, reason("An ulcer open for more than 2 weeks in a leg with PAD is limb-threatening ischaemia (CLTI): refer to a vascular specialist.", at, cltiRule))
	}
	healing := heal != nil && heal.OnTrack == known.Yes
	switch {
	case days >= sixWeeks && !healing:
		w = append(w, reason("Not known to be healing at 6 weeks: image the arteries, whatever the bedside tests say.", at, imaging2015))
	case days >= fourWeeks && !healing:
		w = append(w, reason("Not known to be healing at 4 weeks: consider imaging of the arteries, whatever the bedside tests say.", at, imaging2023))
	}
	if days >= twelveWeeks && (heal == nil || heal.Days < twelveWeeks) {
		w = append(w, reason("Still open at 12 weeks, the usual end of healing trials.", at, trialEnd))
	}
	return w
}

// sinceLast compares today with the last earlier look at the same ulcer.
func sinceLast(in *Input, at string, h *history) source.Because {
	var w source.Because
	u := &in.Ulcer
	if u.Infection.Spreading == known.AnswerYes {
		w = append(w, reason("Redness or swelling is spreading.", at+".infection.spreading", changeRule))
	}
	if h.last == nil {
		return w
	}
	was := h.last
	if was.Ulcer.Open() == known.No {
		return append(w, reason("The ulcer was closed on "+was.On.String()+" and is open again.", at, changeRule))
	}
	if was.Ulcer.Depth > Closed && was.Ulcer.Depth < u.Depth && u.Depth <= BoneOrJoint {
		w = append(w, reason("Deeper than on "+was.On.String()+": "+depthWords(was.Ulcer.Depth, was.Ulcer.Depth)+" before, "+depthWords(u.Depth, u.Depth)+" now.", at+".depth", changeRule))
	}
	if u.ProbeToBone == known.AnswerYes && was.Ulcer.ProbeToBone != known.AnswerYes {
		w = append(w, reason("Bone is felt with the probe, and was not recorded on "+was.On.String()+".", at+".probe-to-bone", changeRule))
	}
	if before, now := was.Ulcer.Infection.ErythemaMM, u.Infection.ErythemaMM; before.Known() && now.Known() && now.Value > max(before.Value, 5) {
		w = append(w, reason(fmt.Sprintf("Redness reaches %d mm; it was %d mm on %v.", now.Value, before.Value, was.On), at+".infection.erythema-mm", changeRule))
	}
	return append(w, h.sizeSinceLast(at)...)
}
