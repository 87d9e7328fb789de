package risk

import "tengram/internal/kernel/source"

// peters2001Doc: Peters EJG, Lavery LA, Diabetes Care 2001;24(8):1442-1447.
var peters2001Doc = source.Source{
	ID: "peters-2001", Title: "Effectiveness of the diabetic foot risk classification system of the IWGDF",
	Edition: "2001", Link: "https://utsouthwestern.pure.elsevier.com/en/publications/effectiveness-of-the-diabetic-foot-risk-classification-system-of-",
}
