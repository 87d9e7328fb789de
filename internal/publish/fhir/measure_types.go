package fhir

// The resources about measures, with the elements that are written.

type measureReport struct {
	ResourceType        string        `json:"resourceType"`
	ID                  string        `json:"id"`
	Text                *narrative    `json:"text,omitempty"`
	Contained           []list        `json:"contained,omitempty"`
	Extension           []extension   `json:"extension,omitempty"`
	Status              string        `json:"status"`
	Type                string        `json:"type"`
	Measure             string        `json:"measure"`
	Subject             *reference    `json:"subject,omitempty"`
	Date                string        `json:"date,omitempty"`
	Reporter            *reference    `json:"reporter,omitempty"`
	Period              period        `json:"period"`
	ImprovementNotation *concept      `json:"improvementNotation,omitempty"`
	Group               []reportGroup `json:"group,omitempty"`
	EvaluatedResource   []reference   `json:"evaluatedResource,omitempty"`
}

func (r *measureReport) key() (string, string) { return "MeasureReport", r.ID }

// narrative is what a person may read of a resource.
type narrative struct {
	Status string `json:"status"`
	Div    string `json:"div"`
}

type reportGroup struct {
	Population   []population `json:"population"`
	MeasureScore *quantity    `json:"measureScore,omitempty"`
	Stratifier   []stratifier `json:"stratifier,omitempty"`
}

type population struct {
	ID             string     `json:"id,omitempty"`
	Code           concept    `json:"code"`
	Count          *int       `json:"count,omitempty"`
	CountElement   *element   `json:"_count,omitempty"`
	SubjectResults *reference `json:"subjectResults,omitempty"`
}

// element is what stands beside a value that was left out.
type element struct {
	Extension []extension `json:"extension"`
}

type stratifier struct {
	Code    []concept `json:"code,omitempty"`
	Stratum []stratum `json:"stratum"`
}

type stratum struct {
	Value        concept      `json:"value"`
	Population   []population `json:"population"`
	MeasureScore *quantity    `json:"measureScore,omitempty"`
}

type list struct {
	ResourceType string      `json:"resourceType"`
	ID           string      `json:"id"`
	Status       string      `json:"status"`
	Mode         string      `json:"mode"`
	Entry        []listEntry `json:"entry,omitempty"`
}

type listEntry struct {
	Item reference `json:"item"`
}

type measureResource struct {
	ResourceType        string         `json:"resourceType"`
	ID                  string         `json:"id"`
	URL                 string         `json:"url"`
	Identifier          []identifier   `json:"identifier,omitempty"`
	Version             string         `json:"version"`
	Name                string         `json:"name"`
	Title               string         `json:"title"`
	Status              string         `json:"status"`
	Experimental        bool           `json:"experimental"`
	Publisher           string         `json:"publisher"`
	Description         string         `json:"description"`
	Usage               string         `json:"usage,omitempty"`
	Copyright           string         `json:"copyright,omitempty"`
	Scoring             concept        `json:"scoring"`
	Type                []concept      `json:"type,omitempty"`
	ImprovementNotation concept        `json:"improvementNotation"`
	Group               []measureGroup `json:"group"`
}

func (m *measureResource) key() (string, string) { return "Measure", m.ID }

type measureGroup struct {
	Population []measurePopulation `json:"population"`
}

type measurePopulation struct {
	ID       string     `json:"id,omitempty"`
	Code     concept    `json:"code"`
	Criteria expression `json:"criteria"`
}

type expression struct {
	Description string `json:"description,omitempty"`
	Language    string `json:"language"`
	Expression  string `json:"expression"`
}
