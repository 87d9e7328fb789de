package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

var (
	today = when.MustDay("2026-11-24")
	nurse = exam.Person{ID: "oakes", Name: "Dana Oakes", Role: clinic.Nurse}
)

// fakeClinic is a practice in memory with the true rules behind it.
type fakeClinic struct {
	people    []clinic.Standing
	records   map[string]record.Record
	drafts    map[string]exam.Draft
	signed    map[string][]record.SignedExam
	ulcers    []clinic.UlcerRow
	referrals []clinic.PersonReferral
	asides    []clinic.Aside
	report    clinic.MeasureReport
	summary   clinic.Summary
	// fail is returned by every call.
	fail error
	// steps and keys are what was asked of it.
	steps []record.ReferralStep
	keys  []string
	// sealed is the last text that a device signed.
	sealed []byte
	// asked is the last question to the panel.
	asked clinic.PanelQuery
	fakeTrends
}

func newFake() *fakeClinic {
	f := &fakeClinic{records: map[string]record.Record{}, drafts: map[string]exam.Draft{}, signed: map[string][]record.SignedExam{}}
	f.summary = clinic.Summary{Year: 2026, Edition: assess.DefaultEdition().Name}
	f.report = clinic.MeasureReport{Measure: measure.FootExam(), Year: 2026}
	return f
}

// fullFake has a person with something on every page.
func fullFake() *fakeClinic {
	f := newFake()
	row := clinic.Standing{
		Person: "p1", Family: "Quill", Given: "Rosa <b>", Birth: when.MustMoment("1950-03-04"), Phone: "(555) 555-0142",
		Diabetes: known.Yes, Watched: true, RiskLow: 1, RiskHigh: 3, RiskWord: "1, low risk to 3, high risk",
		LastExam: when.MustDay("2026-01-10"), Due: when.MustDay("2026-04-10"), OverdueAfter: when.MustDay("2026-05-10"),
		Why: "Last exam here 2026-01-10.", NextVisit: today, OpenUlcers: 1, OpenReferrals: 1,
	}
	f.people = []clinic.Standing{row}
	referral := record.Referral{
		ID: "e1.refer", Action: "refer", Exam: "e1", To: plan.FootSpecialist, Says: "Refer to a foot specialist.", Urgency: danger.TwoWeeks,
		Opened: when.MustDay("2026-10-01"), Due: when.MustDay("2026-10-15"),
		Steps: []record.ReferralStep{{What: "sent", On: when.MustDay("2026-10-02"), By: nurse, Note: "by fax"}},
	}
	f.records["p1"] = record.Record{
		Person: record.Person{ID: "p1", Family: "Quill", Given: "Rosa <b>", Birth: when.MustMoment("1950-03-04"), Sex: "female", Phone: row.Phone, Language: "es"},
		Facts: []record.Fact{
			{Kind: record.Condition, Key: "Condition/1", Text: "Type 2 diabetes", Codes: []term.Code{{System: term.ICD10CM, Code: "E11.9"}}, Start: when.MustMoment("2012"), Origin: record.Origin{Source: "a.ndjson", Line: 3}},
			{Kind: record.Observation, Key: "Observation/1", Codes: []term.Code{{System: term.LOINC, Code: "4548-4"}}, Start: when.MustMoment("2026-05-01"), Value: record.Value{Given: true, Number: "7.2", Unit: "%"}},
			{Kind: record.Condition, Key: "Condition/2", Text: "Refuted thing", Standing: record.Void, Start: when.MustMoment("2020-02")},
		},
		Referrals: []record.Referral{referral},
	}
	f.referrals = []clinic.PersonReferral{{Standing: row, Referral: referral}}
	first := wholeDraft("e1", "2026-01-10T09:00:00-05:00")
	second := wholeDraft("e2", "2026-10-10T09:00:00-05:00")
	second.Left.Test.Filament[neuro.SiteHallux] = known.Abnormal
	second.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal
	second.Left.Look.Wound = known.Abnormal
	second.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.MTH1, Depth: wound.Subcutis, Size: wound.Size{LengthMM: known.Value(12), WidthMM: known.Value(8), Method: wound.Ellipse}}}
	for _, d := range []exam.Draft{first, second} {
		f.sign(d)
	}
	result := f.signed["e2"][0].Assessment.Ulcers[0]
	f.ulcers = []clinic.UlcerRow{
		{Standing: row, FollowedUlcer: clinic.FollowedUlcer{Last: second.Ulcers[0], On: when.MustDay("2026-10-10"), Exam: "e2", First: when.MustDay("2026-09-01"), Result: result,
			Sizes: []clinic.UlcerSize{{On: when.MustDay("2026-09-01"), AreaMM2: 120, Method: wound.Ellipse}, {On: when.MustDay("2026-10-10"), AreaMM2: 75, Method: wound.Ellipse}}}},
		{Standing: row, FollowedUlcer: clinic.FollowedUlcer{Unseen: true}},
	}
	f.asides = []clinic.Aside{{File: "Condition.ndjson", Line: 12, Resource: "Condition/9", Reason: "no code"}}
	open := measure.Result{Measure: "foot-exam", Patient: "p1", InitialPopulation: true, Denominator: true,
		Because: source.Because{{Says: "Has diabetes and was seen."}}, Gaps: []measure.Gap{{Part: "pulses", Says: "Foot pulses: nothing in the record."}}, Quality: []string{"a date is vague"}}
	f.report.Tally.Add(open)
	f.report.People = []clinic.MeasurePerson{{Standing: row, Result: open}}
	f.summary.Counts = clinic.Counts{People: 3000, Diabetes: 400, Due: 1, OpenUlcers: 2, OpenReferrals: 1, LateReferrals: 1, Stale: 3}
	f.drafts["e3"] = exam.Draft{Schema: exam.SchemaID, ID: "e3", Revision: 1, Patient: "p1", At: when.MustMoment("2026-11-24T09:00:00-05:00"), Examiner: nurse, Protocol: neuro.TenSites}
	return f
}

// wholeDraft is a complete, normal exam.
func wholeDraft(id, at string) exam.Draft {
	d := exam.Draft{Schema: exam.SchemaID, ID: id, Revision: 1, Patient: "p1", At: when.MustMoment(at), Examiner: nurse, Protocol: neuro.FourSites}
	form := encodeForm(d)
	for _, b := range blocks() {
		applyNormal(form, normalNow(b.id, d, exam.Background{}), d.Protocol)
	}
	out, problems := decodeForm(form)
	if len(problems) > 0 {
		panic(problems[0].Says)
	}
	return owned(out, d, nurse)
}

func (f *fakeClinic) sign(d exam.Draft) record.SignedExam {
	a, _, _ := f.Preview(context.Background(), nurse, d)
	s := record.SignedExam{Exam: exam.Exam{Draft: d}, Assessment: a, SignedBy: nurse, SignedAt: d.At}
	f.signed[d.ID] = append(f.signed[d.ID], s)
	rec := f.records[d.Patient]
	rec.Exams = append(rec.Exams, s)
	f.records[d.Patient] = rec
	delete(f.drafts, d.ID)
	return s
}

func (f *fakeClinic) Today() when.Day { return today }

func (f *fakeClinic) Panel(_ context.Context, _ exam.Person, q clinic.PanelQuery) ([]clinic.Standing, int, error) {
	f.asked = q
	var rows []clinic.Standing
	for _, p := range f.people {
		if strings.Contains(strings.ToLower(p.Family+p.Person), strings.ToLower(q.Text)) {
			rows = append(rows, p)
		}
	}
	return rows, len(rows), f.fail
}

func (f *fakeClinic) Open(_ context.Context, _ exam.Person, person string) (clinic.Chart, error) {
	rec, ok := f.records[person]
	if !ok && f.fail == nil {
		return clinic.Chart{}, clinic.Errorf(clinic.NotFound, "there is no person %s", person)
	}
	c := clinic.Chart{Record: rec, Background: exam.Background{UlcerHistory: exam.Item{Is: known.Yes, From: "Z86.31, 2019"}}}
	if len(f.people) > 0 {
		c.Standing = f.people[0]
	}
	for _, u := range f.ulcers {
		c.Ulcers = append(c.Ulcers, u.FollowedUlcer)
	}
	for _, p := range f.report.People {
		c.Measure = p.Result
	}
	for _, d := range f.drafts {
		c.Drafts = append(c.Drafts, d)
	}
	return c, f.fail
}

func (f *fakeClinic) Summary(context.Context) (clinic.Summary, error) { return f.summary, f.fail }

func (f *fakeClinic) StartExam(_ context.Context, who exam.Person, person string) (exam.Draft, error) {
	return exam.Draft{Schema: exam.SchemaID, ID: "new", Revision: 1, Patient: person, At: when.MustMoment("2026-11-24T10:00:00-05:00"), Examiner: who, Protocol: neuro.FourSites}, f.fail
}

func (f *fakeClinic) StartAmendment(_ context.Context, who exam.Person, id string) (exam.Draft, error) {
	revisions := f.signed[id]
	if len(revisions) == 0 {
		return exam.Draft{}, clinic.Errorf(clinic.NotFound, "there is no exam %s", id)
	}
	d := revisions[len(revisions)-1].Exam.Draft
	d.Amends = &exam.Amendment{Revision: d.Revision, By: who}
	d.Revision++
	return d, f.fail
}

func (f *fakeClinic) SaveDraft(_ context.Context, _ exam.Person, d exam.Draft) error {
	if f.fail == nil {
		f.drafts[d.ID] = d
	}
	return f.fail
}

func (f *fakeClinic) Draft(_ context.Context, _ exam.Person, id string) (exam.Draft, error) {
	d, ok := f.drafts[id]
	if !ok && f.fail == nil {
		return d, clinic.Errorf(clinic.NotFound, "there is no draft %s", id)
	}
	return d, f.fail
}

func (f *fakeClinic) Drafts(context.Context, exam.Person) ([]exam.Draft, error) {
	var list []exam.Draft
	for _, d := range f.drafts {
		list = append(list, d)
	}
	return list, f.fail
}

func (f *fakeClinic) DropDraft(_ context.Context, _ exam.Person, id string) error {
	delete(f.drafts, id)
	return f.fail
}

func (f *fakeClinic) Preview(_ context.Context, _ exam.Person, d exam.Draft) (assess.Assessment, []exam.Problem, error) {
	checked, problems := exam.Check(d)
	return assess.Assess(assess.Input{Exam: &checked.Draft, Edition: assess.DefaultEdition(), On: today}), problems, f.fail
}

func (f *fakeClinic) Sign(_ context.Context, _ exam.Person, d exam.Draft, key string) (record.SignedExam, error) {
	f.keys = append(f.keys, key)
	if _, problems := exam.Check(d); exam.Blocked(problems) {
		return record.SignedExam{}, clinic.Errorf(clinic.Invalid, "the exam cannot be signed yet; look at these fields")
	}
	return f.sign(d), f.fail
}

func (f *fakeClinic) Amend(ctx context.Context, who exam.Person, d exam.Draft, reason, key string) (record.SignedExam, error) {
	if reason == "" {
		return record.SignedExam{}, clinic.Errorf(clinic.Invalid, "say why exam %s is amended", d.ID)
	}
	return f.Sign(ctx, who, withReason(d, reason), key)
}

func (f *fakeClinic) Exam(_ context.Context, _ exam.Person, id string) ([]record.SignedExam, error) {
	if len(f.signed[id]) == 0 && f.fail == nil {
		return nil, clinic.Errorf(clinic.NotFound, "there is no exam %s", id)
	}
	return f.signed[id], f.fail
}

func (f *fakeClinic) Ulcers(context.Context, exam.Person) ([]clinic.UlcerRow, error) {
	return f.ulcers, f.fail
}

func (f *fakeClinic) Referrals(context.Context, exam.Person) ([]clinic.PersonReferral, error) {
	return f.referrals, f.fail
}

func (f *fakeClinic) StepReferral(_ context.Context, _ exam.Person, _, _ string, step record.ReferralStep) error {
	f.steps = append(f.steps, step)
	return f.fail
}

func (f *fakeClinic) Measure(_ context.Context, _ exam.Person, id string, _ int) (clinic.MeasureReport, error) {
	if id != f.report.Measure.ID {
		return clinic.MeasureReport{}, clinic.Errorf(clinic.NotFound, "there is no measure %s", id)
	}
	return f.report, f.fail
}

func (f *fakeClinic) Asides(context.Context, exam.Person, int) ([]clinic.Aside, error) {
	return f.asides, f.fail
}

// fakeAccess lets one person in, or nobody.
type fakeAccess struct{ who exam.Person }

func (a *fakeAccess) Sessions(next http.Handler) http.Handler { return next }

func (a *fakeAccess) SignIn(_ context.Context, account, passphrase string) error {
	if account != "oakes" || passphrase != "four plain words here" {
		return clinic.Errorf(clinic.Forbidden, "account %s has another passphrase", account)
	}
	a.who = nurse
	return nil
}

func (a *fakeAccess) SignOut(context.Context) error { a.who = exam.Person{}; return nil }

func (a *fakeAccess) Who(context.Context) (exam.Person, bool) { return a.who, a.who.ID != "" }

// desk is a browser without scripts, signed in or not, with the log beside it.
type desk struct {
	t       *testing.T
	handler http.Handler
	log     *strings.Builder
	access  *fakeAccess
}

func newDesk(t *testing.T, f *fakeClinic, who exam.Person) *desk {
	d := &desk{t: t, log: &strings.Builder{}, access: &fakeAccess{who}}
	d.handler = New(Config{Clinic: f, Access: d.access, Version: "0.0-test", Logger: slog.New(slog.NewTextHandler(d.log, nil)),
		Charts: fakeCharts{}, Reports: fakeReports{}})
	return d
}

func (d *desk) do(method, path, contentType, body string) *httptest.ResponseRecorder {
	if d.t != nil {
		d.t.Helper()
	}
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	if contentType != "" {
		r.Header.Set("Content-Type", contentType)
	}
	w := httptest.NewRecorder()
	d.handler.ServeHTTP(w, r)
	return w
}

func (d *desk) get(path string) *httptest.ResponseRecorder { return d.do("GET", path, "", "") }

func (d *desk) post(path string, form url.Values) *httptest.ResponseRecorder {
	return d.do("POST", path, "application/x-www-form-urlencoded", form.Encode())
}

// wants fails unless the page has the status and each of the texts.
func wants(t *testing.T, w *httptest.ResponseRecorder, status int, texts ...string) {
	t.Helper()
	if w.Code != status {
		t.Fatalf("status %d, want %d: %s", w.Code, status, w.Header().Get("Location"))
	}
	for _, text := range texts {
		if !strings.Contains(w.Body.String(), text) {
			t.Errorf("the page lacks %q", text)
		}
	}
}
