module tengram

go 1.26.0

require github.com/a-h/templ v0.3.1100 // indirect
