package board

import (
	"html/template"
	"io"

	"tengram/internal/publish/chart"
)

// RenderHTML writes the report as a page of its own, the accessible form: with
// headings, tables with headers, and every picture in words and numbers beside
// it. It loads nothing from elsewhere.
func RenderHTML(w io.Writer, in Input) error {
	c := compose(in)
	page := htmlPage{Title: c.title, Subtitle: c.subtitle, Year: c.year, SiteWords: c.siteWords, Notes: c.notes}
	for _, d := range c.drawings {
		page.Figures = append(page.Figures, htmlFigure{d.Title, template.HTML(d.Figure())})
	}
	if len(c.sites.Rows) > 0 {
		page.Sites = template.HTML(c.sites.HTML())
	}
	if c.funnel != nil {
		page.Funnel = template.HTML(c.funnel.Figure())
	}
	for _, s := range c.numbers {
		t := chart.Table{Caption: s.name, Head: []string{"What", "How many"}}
		for _, r := range s.rows {
			t.Rows = append(t.Rows, r[:])
		}
		page.Numbers = append(page.Numbers, template.HTML(t.HTML()))
	}
	return htmlTemplate.Execute(w, page)
}

type htmlPage struct {
	Title, Subtitle, Year, SiteWords string
	Figures                          []htmlFigure
	Sites, Funnel                    template.HTML
	Numbers                          []template.HTML
	Notes                            []string
}

type htmlFigure struct {
	Title  string
	Figure template.HTML
}

var htmlTemplate = template.Must(template.New("board").Parse(`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}: {{.Subtitle}}</title>
<style>
body { font: 1rem/1.5 system-ui, sans-serif; max-width: 48rem; margin: 2rem auto; padding: 0 1rem; color: #1b1d1c; background: #fff; }
.chart-picture { max-width: 100%; height: auto; }
figure { margin: 0 0 1.5rem; }
table { border-collapse: collapse; margin: 1rem 0; }
caption { text-align: left; font-weight: 600; }
th, td { text-align: left; font-weight: normal; padding: 0.2rem 1rem 0.2rem 0; border-bottom: 1px solid #757062; }
thead th { font-weight: 600; }
</style>
</head>
<body>
<main>
<h1>{{.Title}}</h1>
<p>{{.Subtitle}}</p>
<h2>The year</h2>
<p>{{.Year}}</p>
{{range .Figures}}<h2>{{.Title}}</h2>
{{.Figure}}
{{end}}{{if .Sites}}<h2>By site</h2>
{{.Sites}}
<p>{{.SiteWords}}</p>
{{.Funnel}}
{{end}}<h2>The programme today</h2>
{{range .Numbers}}{{.}}
{{end}}<h2>About this report</h2>
{{range .Notes}}<p>{{.}}</p>
{{end}}</main>
</body>
</html>
`))
