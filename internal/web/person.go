package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// storyShort is how many entries of the story are shown before "everything".
const storyShort = 40

// personView is one person: both feet now against last time, what is open, and
// the whole story.
type personView struct {
	clinic.Chart
	Today when.Day
	About string
	// Now is the newest signed exam, Last the one before it.
	Now, Last *record.SignedExam
	Feet      []feetRow
	Known     []string
	Story     []entry
	// More is how many older entries are left out.
	More       int
	CanExamine bool
}

// feetRow is one question for both feet, then and now.
type feetRow struct {
	Label string
	// Right and Left are now; the others are last time.
	Right, Left           answer
	WasRight, WasLeft     answer
	RightMoved, LeftMoved bool
}

// entry is one line of a story.
type entry struct {
	On   when.Moment
	What string
	Says string
	Href templ.SafeURL
	From string
	// Void is a fact that does not count, with why.
	Void string
}

func (s *site) personPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	chart, err := s.Clinic.Open(r.Context(), who, r.PathValue("person"))
	if err != nil {
		return err
	}
	v := personView{Chart: chart, Today: s.Clinic.Today(), CanExamine: clinic.May(who, clinic.Examine)}
	v.About = ageAndSex(chart.Record.Person, v.Today)
	exams := chart.Record.Exams
	if n := len(exams); n > 0 {
		v.Now = &exams[n-1]
		if n > 1 {
			v.Last = &exams[n-2]
		}
		v.Feet = feetRows(v.Now, v.Last)
	}
	v.Known = knownWords(chart.Background)
	v.Story = storyOf(chart.Record)
	if len(v.Story) > storyShort && r.URL.Query().Get("story") != "all" {
		v.More = len(v.Story) - storyShort
		v.Story = v.Story[:storyShort]
	}
	s.show(w, r, http.StatusOK, personTemplate(s.frame(r, who, "Person", ""), v))
	return nil
}

// lastDraft is what an exam recorded, or nil for no exam.
func lastDraft(e *record.SignedExam) *exam.Draft {
	if e == nil {
		return nil
	}
	return &e.Exam.Draft
}

// feetRows sets the newest exam against the one before it, in the lines of the
// printed page.
func feetRows(now, last *record.SignedExam) []feetRow {
	var rows []feetRow
	for _, r := range paperRows(*now) {
		rows = append(rows, feetRow{Label: r.Label, Right: r.Answers[foot.Right], Left: r.Answers[foot.Left]})
	}
	if last == nil {
		return rows
	}
	for _, r := range paperRows(*last) {
		i := slices.IndexFunc(rows, func(f feetRow) bool { return f.Label == r.Label })
		if i < 0 {
			rows = append(rows, feetRow{Label: r.Label})
			i = len(rows) - 1
		}
		rows[i].WasRight, rows[i].WasLeft = r.Answers[foot.Right], r.Answers[foot.Left]
		rows[i].RightMoved = rows[i].Right.Words != rows[i].WasRight.Words
		rows[i].LeftMoved = rows[i].Left.Words != rows[i].WasLeft.Words
	}
	return rows
}

// knownWords lists what the record already says, for the top of the page.
func knownWords(bg exam.Background) []string {
	var out []string
	for _, i := range []struct {
		says string
		item exam.Item
	}{
		{"past foot ulcer", bg.UlcerHistory}, {"past amputation", bg.Amputation}, {"past Charcot foot", bg.CharcotHistory},
		{"leg artery surgery or stent", bg.Revascularised}, {"peripheral artery disease", bg.PAD}, {"neuropathy", bg.Neuropathy},
		{"diabetic eye disease", bg.Retinopathy}, {"low vision", bg.LowVision}, {"end-stage kidney disease", bg.KidneyFailure},
		{"dialysis", bg.Dialysis}, {"kidney transplant", bg.Transplant}, {"eGFR below 30", bg.EGFRBelow30}, {"tobacco now", bg.Smoker},
	} {
		if i.item.Is != known.Yes {
			continue
		}
		text := sentence(i.says)
		if i.item.From != "" {
			text += " (" + i.item.From + ")"
		}
		out = append(out, text)
	}
	return out
}

// storyOf is everything that is known of a person, newest first.
func storyOf(rec record.Record) []entry {
	var story []entry
	for _, e := range rec.Exams {
		low, high := resultView{Assessment: e.Assessment}.bounds()
		story = append(story, entry{
			On: e.Exam.At, What: "Foot exam", Says: "Risk " + riskWords(low, high) + ". " + findingWords(e),
			Href: examURL(e.Exam.ID, ""), From: "signed by " + personName(e.SignedBy),
		})
	}
	for _, r := range rec.Referrals {
		story = append(story, entry{On: when.OnDay(r.Opened), What: "Referral", Says: r.Says, From: addressee(r.To)})
		for _, step := range r.Steps {
			story = append(story, entry{On: when.OnDay(step.On), What: "Referral " + step.What, Says: strings.TrimSpace(step.Note + " (" + r.Says + ")"), From: personName(step.By)})
		}
	}
	for _, f := range rec.Facts {
		story = append(story, entry{On: f.Start, What: kindWords(f.Kind), Says: factWords(f), From: originWords(f.Origin), Void: voidWords(f.Standing)})
	}
	slices.SortStableFunc(story, func(a, b entry) int { return b.On.Compare(a.On) })
	return story
}

func findingWords(e record.SignedExam) string {
	if len(e.Assessment.Findings) == 0 {
		return "Nothing abnormal among what was recorded."
	}
	var says []string
	for _, f := range e.Assessment.Findings {
		if len(says) == 4 {
			says = append(says, "and "+strconv.Itoa(len(e.Assessment.Findings)-4)+" more")
			break
		}
		says = append(says, strings.TrimSuffix(f.Says, "."))
	}
	return "Found: " + strings.Join(says, "; ") + "."
}

func factWords(f record.Fact) string {
	text := f.Text
	if text == "" && len(f.Codes) > 0 {
		text = codeWords(f.Codes[0])
	}
	if v := f.Value; !v.IsZero() {
		result := strings.TrimSpace(v.Comparator + v.Number + " " + unitWords(v.Unit))
		switch {
		case result == "" && v.Text != "":
			result = v.Text
		case result == "" && len(v.Codes) > 0:
			result = codeWords(v.Codes[0])
		case result == "" && v.Absent != "":
			result = "no value: " + v.Absent
		}
		if result != "" {
			text += ": " + result
		}
	}
	if f.Ended == known.Yes && !sameDay(f.Start, f.End) {
		text += ", until " + moment(f.End)
	}
	return text
}

func originWords(o record.Origin) string {
	if o.Source == "" {
		return ""
	}
	if o.Line > 0 {
		return o.Source + ", line " + strconv.Itoa(o.Line)
	}
	return o.Source
}

func voidWords(s record.Standing) string {
	switch s {
	case record.Void:
		return "does not count: entered in error or cancelled"
	case record.NotDone:
		return "was not done"
	case record.Planned:
		return "not happened yet"
	case record.Preliminary:
		return "not final"
	}
	return ""
}

func joinWords(words []string) string { return strings.Join(words, "; ") }

// wordsOr is an answer's words where there may be no such line in an exam.
func wordsOr(a answer) string {
	if a.Words == "" {
		return "not there"
	}
	return a.Words
}

func openReferrals(rec record.Record) []record.Referral {
	return slices.DeleteFunc(slices.Clone(rec.Referrals), record.Referral.Closed)
}

// sameDay reports that something ended on the day it began, or that nobody said
// when it ended.
func sameDay(start, end when.Moment) bool {
	_, first := start.Days(nil)
	_, last := end.Days(nil)
	return end.IsZero() || first == last
}
