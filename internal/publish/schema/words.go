package schema

import "tengram/internal/kernel/exam"

// entry is what the schema says of a type or field beyond its shape.
type entry struct {
	says string
	// low and high bound a number; for tenths they are counted in tenths. They
	// are the ranges in which internal/kernel/exam lets a value stand (common
	// practice, no source, wide on purpose).
	low, high int
	// exactly is the only allowed text; needed is a text that may not be empty;
	// positive is a number above zero; instant is a time with its offset.
	exactly                   string
	needed, positive, instant bool
}

// words describe every type ("exam.Foot") and field ("exam.Foot.Look") of the
// exam document.
var words = join(documentWords, footWords, testWords, ulcerWords)

func join(parts ...map[string]entry) map[string]entry {
	all := map[string]entry{}
	for _, part := range parts {
		for key, e := range part {
			all[key] = e
		}
	}
	return all
}

var documentWords = map[string]entry{
	"exam.Draft": {says: "One foot exam: what was asked, seen, felt, tested and taught on one day. " +
		"What was not recorded is left out; it is never read as normal. Measurements are in the unit that the field names; a number in tenths has at most one decimal. " +
		"Conclusions (risk, plan) are not part of the document: they are computed from it."},
	"exam.Draft.Schema":          {says: "The version of the document's form.", exactly: exam.SchemaID},
	"exam.Draft.ID":              {says: "The exam's own random UUID; it stays the same over revisions.", needed: true},
	"exam.Draft.Revision":        {says: "The revision, counted from 1. A signed revision never changes; an amendment is the next one.", low: 1},
	"exam.Draft.Amends":          {says: "Which revision this one replaces, and why. Present on every revision after the first, and only there."},
	"exam.Draft.Patient":         {says: "The person's id in the record, such as a FHIR Patient id.", needed: true},
	"exam.Draft.At":              {says: "When the exam was done: a date and time with its offset from UTC. Needed to sign.", instant: true},
	"exam.Draft.Examiner":        {says: "Who did the exam. Needed to sign."},
	"exam.Draft.Edition":         {says: "The edition of the rules that judged the exam, such as us-2024. Set at signing; what a sender writes here is replaced."},
	"exam.Draft.Protocol":        {says: "The plan of monofilament sites that was followed. Needed where a monofilament result is recorded, so that two testers can be compared."},
	"exam.Draft.Ask":             {says: "History and symptoms, as the person answered today."},
	"exam.Draft.Right":           {says: "The right foot."},
	"exam.Draft.Left":            {says: "The left foot."},
	"exam.Draft.Arms":            {says: "Arm pressures for the ankle-brachial index."},
	"exam.Draft.Vitals":          {says: "Signs of a systemic response to infection, on the day of the exam."},
	"exam.Draft.TemperatureUnit": {says: "The unit of the skin temperatures of both feet. Needed where there are any."},
	"exam.Draft.Ulcers":          {says: "Each open or just healed ulcer."},
	"exam.Draft.Footwear":        {says: "The look at shoes and socks."},
	"exam.Draft.Teach":           {says: "What was taught, and whether it came back."},
	"exam.Draft.Override":        {says: "A clinician's own risk category, where it differs from the computed one. It stands beside that one, never in its place."},
	"exam.Draft.Seconds":         {says: "Time spent in each block of the exam, in seconds."},
	"exam.Draft.Note":            {says: "Free text. No rule reads it."},

	"exam.Amendment":          {says: "What an amendment replaces, and why."},
	"exam.Amendment.Revision": {says: "The revision that is replaced: one less than this one.", low: 1},
	"exam.Amendment.Reason":   {says: "Why the exam is amended.", needed: true},
	"exam.Amendment.By":       {says: "Who amended it."},
	"exam.Amendment.At":       {says: "When it was amended.", instant: true},

	"exam.Person":      {says: "Somebody of the practice."},
	"exam.Person.ID":   {says: "Their id in the practice."},
	"exam.Person.Name": {says: "Their name, as it is to be printed."},
	"exam.Person.Role": {says: "Their role at that time, such as nurse or clinician."},

	"exam.Override":          {says: "A clinician's own risk category."},
	"exam.Override.Category": {says: "The category in the practice's risk system, such as 2.", needed: true},
	"exam.Override.Reason":   {says: "Why it differs from the computed one.", needed: true},
	"exam.Override.By":       {says: "Who decided it."},

	"known.Answer": {says: "The answer to a question. unsure: asked, and the person does not know. declined: the person did not want to answer. prevented: it could not be asked or seen today. Never asked: leave it out."},
	"known.Finding": {says: "The result of one look or test. For a test of feeling, normal is felt and abnormal is not felt. absent: the part is lost to amputation. " +
		"not-possible: the part is there and could not be tested today, under a dressing for example. Not done: leave it out."},
	"exam.Smoking": {says: "Tobacco use."},

	"exam.Ask":                    {says: "The questions of the exam. Each means what the person said today; what the record says is kept elsewhere."},
	"exam.Ask.UlcerHistory":       {says: "Ever a foot ulcer that has healed."},
	"exam.Ask.AmputationHistory":  {says: "Ever an amputation of a toe, foot or leg. What is missing stands with each foot."},
	"exam.Ask.CharcotHistory":     {says: "Ever a Charcot foot."},
	"exam.Ask.Revascularised":     {says: "Ever an angioplasty, stent or bypass of a leg."},
	"exam.Ask.PADDiagnosed":       {says: "Told to have peripheral artery disease."},
	"exam.Ask.Retinopathy":        {says: "Diabetic eye disease."},
	"exam.Ask.LowVision":          {says: "Cannot see the own soles well enough to check them."},
	"exam.Ask.KidneyDisease":      {says: "Any chronic kidney disease."},
	"exam.Ask.KidneyFailure":      {says: "End-stage kidney disease, with dialysis or without."},
	"exam.Ask.Dialysis":           {says: "On dialysis now."},
	"exam.Ask.Transplant":         {says: "A kidney transplant."},
	"exam.Ask.Smoking":            {says: "Tobacco use."},
	"exam.Ask.GlucoseAboveTarget": {says: "Glucose is above the person's own target."},
	"exam.Ask.A1c":                {says: "The last HbA1c in per cent (NGSP), at most one decimal. A value in mmol/mol must be converted first.", low: 30, high: 250},
	"exam.Ask.Numbness":           {says: "Numb or dead feeling of the feet."},
	"exam.Ask.Pain":               {says: "Burning, tingling, shooting or electric pain of the feet."},
	"exam.Ask.Claudication":       {says: "Leg pain or tiredness on walking that rest relieves."},
	"exam.Ask.RestPain":           {says: "Foot pain at rest or at night, better with the leg hanging."},
	"exam.Ask.RestPainNew":        {says: "The pain at rest is new."},
	"exam.Ask.CannotReach":        {says: "Cannot reach the own toes."},
	"exam.Ask.Helper":             {says: "Somebody at home can look at the feet."},
	"exam.Ask.DailyCheck":         {says: "Looks at both feet every day."},
	"exam.Ask.Barefoot":           {says: "Walks barefoot, indoors or outdoors."},
	"exam.Ask.FootSpecialist":     {says: "Is seen regularly by a foot-care specialist."},
	"exam.Ask.VenousDisease":      {says: "Chronic venous insufficiency."},
	"exam.Ask.OtherNeuropathy":    {says: "Another cause of neuropathy is known, such as B12 deficiency, alcohol, chemotherapy or the spine."},

	"exam.Footwear":             {says: "The look at shoes and socks."},
	"exam.Footwear.Suitable":    {says: "normal: shape, fit and wear suit the foot and its risk."},
	"exam.Footwear.Sized":       {says: "The feet were measured with a standard device."},
	"exam.Footwear.TooTight":    {says: "The shoes are too tight or too short."},
	"exam.Footwear.WornOut":     {says: "The shoes are worn out."},
	"exam.Footwear.ForeignBody": {says: "Something lies or sticks out inside the shoe."},
	"exam.Footwear.Prescribed":  {says: "Wears prescribed footwear."},

	"exam.Teach":            {says: "The teaching at the end of the exam."},
	"exam.Teach.Given":      {says: "The teaching for this person's risk was given today."},
	"exam.Teach.TaughtBack": {says: "The person said or showed it back right."},
	"exam.Teach.Language":   {says: "The language of the teaching, as a BCP 47 tag such as en or es."},
	"exam.Teach.Points":     {says: "The ids of the points taught."},

	"exam.Seconds":       {says: "Time spent in each block, in seconds."},
	"exam.Seconds.Ask":   {says: "Seconds spent asking."},
	"exam.Seconds.Look":  {says: "Seconds spent looking."},
	"exam.Seconds.Feel":  {says: "Seconds spent feeling."},
	"exam.Seconds.Test":  {says: "Seconds spent testing."},
	"exam.Seconds.Teach": {says: "Seconds spent teaching."},
}
