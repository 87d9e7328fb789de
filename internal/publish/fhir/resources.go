package fhir

// The resources that are written, with the elements that are written. R4 has
// many more; none is needed to say what an exam says.

// resource is what an entry of a Bundle can hold.
type resource interface{ key() (typ, id string) }

type bundle struct {
	ResourceType string      `json:"resourceType"`
	ID           string      `json:"id"`
	Meta         *meta       `json:"meta,omitempty"`
	Identifier   *identifier `json:"identifier,omitempty"`
	Type         string      `json:"type"`
	Timestamp    string      `json:"timestamp,omitempty"`
	Entry        []entry     `json:"entry"`
}

type entry struct {
	FullURL  string   `json:"fullUrl"`
	Resource resource `json:"resource"`
}

type patient struct {
	ResourceType string       `json:"resourceType"`
	ID           string       `json:"id"`
	Extension    []extension  `json:"extension,omitempty"`
	Identifier   []identifier `json:"identifier,omitempty"`
	Active       *bool        `json:"active,omitempty"`
	Name         []humanName  `json:"name,omitempty"`
	Telecom      []telecom    `json:"telecom,omitempty"`
	Gender       string       `json:"gender,omitempty"`
	BirthDate    string       `json:"birthDate,omitempty"`
}

func (p *patient) key() (string, string) { return "Patient", p.ID }

type humanName struct {
	Family string   `json:"family,omitempty"`
	Given  []string `json:"given,omitempty"`
}

type telecom struct {
	System string `json:"system"`
	Value  string `json:"value"`
}

type observation struct {
	ResourceType         string           `json:"resourceType"`
	ID                   string           `json:"id"`
	Meta                 *meta            `json:"meta,omitempty"`
	Identifier           []identifier     `json:"identifier,omitempty"`
	Status               string           `json:"status"`
	Category             []concept        `json:"category,omitempty"`
	Code                 concept          `json:"code"`
	Subject              reference        `json:"subject"`
	Effective            string           `json:"effectiveDateTime,omitempty"`
	Issued               string           `json:"issued,omitempty"`
	Performer            []reference      `json:"performer,omitempty"`
	ValueQuantity        *quantity        `json:"valueQuantity,omitempty"`
	ValueCodeableConcept *concept         `json:"valueCodeableConcept,omitempty"`
	ValueString          string           `json:"valueString,omitempty"`
	ValueBoolean         *bool            `json:"valueBoolean,omitempty"`
	DataAbsentReason     *concept         `json:"dataAbsentReason,omitempty"`
	Interpretation       []concept        `json:"interpretation,omitempty"`
	Note                 []annotation     `json:"note,omitempty"`
	BodySite             *concept         `json:"bodySite,omitempty"`
	Method               *concept         `json:"method,omitempty"`
	HasMember            []reference      `json:"hasMember,omitempty"`
	DerivedFrom          []reference      `json:"derivedFrom,omitempty"`
	Component            []component      `json:"component,omitempty"`
	ReferenceRange       []referenceRange `json:"referenceRange,omitempty"`
}

func (o *observation) key() (string, string) { return "Observation", o.ID }

type referenceRange struct {
	Text string `json:"text"`
}

type component struct {
	Code                 concept   `json:"code"`
	ValueQuantity        *quantity `json:"valueQuantity,omitempty"`
	ValueCodeableConcept *concept  `json:"valueCodeableConcept,omitempty"`
	ValueString          string    `json:"valueString,omitempty"`
	ValueBoolean         *bool     `json:"valueBoolean,omitempty"`
	ValueDateTime        string    `json:"valueDateTime,omitempty"`
	DataAbsentReason     *concept  `json:"dataAbsentReason,omitempty"`
	Interpretation       []concept `json:"interpretation,omitempty"`
}

type diagnosticReport struct {
	ResourceType       string       `json:"resourceType"`
	ID                 string       `json:"id"`
	Meta               *meta        `json:"meta,omitempty"`
	Identifier         []identifier `json:"identifier,omitempty"`
	Status             string       `json:"status"`
	Code               concept      `json:"code"`
	Subject            reference    `json:"subject"`
	Effective          string       `json:"effectiveDateTime,omitempty"`
	Issued             string       `json:"issued,omitempty"`
	Performer          []reference  `json:"performer,omitempty"`
	ResultsInterpreter []reference  `json:"resultsInterpreter,omitempty"`
	Result             []reference  `json:"result,omitempty"`
	Conclusion         string       `json:"conclusion,omitempty"`
	ConclusionCode     []concept    `json:"conclusionCode,omitempty"`
}

func (r *diagnosticReport) key() (string, string) { return "DiagnosticReport", r.ID }

type riskAssessment struct {
	ResourceType string       `json:"resourceType"`
	ID           string       `json:"id"`
	Meta         *meta        `json:"meta,omitempty"`
	Status       string       `json:"status"`
	Method       *concept     `json:"method,omitempty"`
	Code         *concept     `json:"code,omitempty"`
	Subject      reference    `json:"subject"`
	Occurrence   string       `json:"occurrenceDateTime,omitempty"`
	Performer    *reference   `json:"performer,omitempty"`
	Basis        []reference  `json:"basis,omitempty"`
	Prediction   []prediction `json:"prediction,omitempty"`
	Mitigation   string       `json:"mitigation,omitempty"`
	Note         []annotation `json:"note,omitempty"`
}

func (r *riskAssessment) key() (string, string) { return "RiskAssessment", r.ID }

type prediction struct {
	Outcome         concept  `json:"outcome"`
	QualitativeRisk *concept `json:"qualitativeRisk,omitempty"`
	Rationale       string   `json:"rationale,omitempty"`
}

type serviceRequest struct {
	ResourceType    string       `json:"resourceType"`
	ID              string       `json:"id"`
	Meta            *meta        `json:"meta,omitempty"`
	Status          string       `json:"status"`
	Intent          string       `json:"intent"`
	Priority        string       `json:"priority,omitempty"`
	Code            *concept     `json:"code,omitempty"`
	Subject         reference    `json:"subject"`
	Occurrence      *period      `json:"occurrencePeriod,omitempty"`
	AuthoredOn      string       `json:"authoredOn,omitempty"`
	Requester       *reference   `json:"requester,omitempty"`
	PerformerType   *concept     `json:"performerType,omitempty"`
	ReasonCode      []concept    `json:"reasonCode,omitempty"`
	ReasonReference []reference  `json:"reasonReference,omitempty"`
	SupportingInfo  []reference  `json:"supportingInfo,omitempty"`
	Note            []annotation `json:"note,omitempty"`
}

func (r *serviceRequest) key() (string, string) { return "ServiceRequest", r.ID }

type procedure struct {
	ResourceType string      `json:"resourceType"`
	ID           string      `json:"id"`
	Meta         *meta       `json:"meta,omitempty"`
	Status       string      `json:"status"`
	StatusReason *concept    `json:"statusReason,omitempty"`
	Code         concept     `json:"code"`
	Subject      reference   `json:"subject"`
	Performed    string      `json:"performedDateTime,omitempty"`
	Performer    []performer `json:"performer,omitempty"`
	Outcome      *concept    `json:"outcome,omitempty"`
}

func (p *procedure) key() (string, string) { return "Procedure", p.ID }

type performer struct {
	Actor reference `json:"actor"`
}

type provenance struct {
	ResourceType string      `json:"resourceType"`
	ID           string      `json:"id"`
	Meta         *meta       `json:"meta,omitempty"`
	Target       []reference `json:"target"`
	Recorded     string      `json:"recorded"`
	Policy       []string    `json:"policy,omitempty"`
	Reason       []concept   `json:"reason,omitempty"`
	Activity     *concept    `json:"activity,omitempty"`
	Agent        []agent     `json:"agent"`
}

func (p *provenance) key() (string, string) { return "Provenance", p.ID }

type agent struct {
	Type *concept  `json:"type,omitempty"`
	Who  reference `json:"who"`
}
