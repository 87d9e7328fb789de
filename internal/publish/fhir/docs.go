package fhir

import (
	"bytes"
	"fmt"
)

// CodesTable is the list of the standard codes in use, with how surely each was
// checked, in Markdown, as it stands in docs/fhir/codes.md.
func CodesTable() []byte {
	var b bytes.Buffer
	b.WriteString(codesHead)
	for _, s := range Standards() {
		system := "SNOMED CT"
		if s.System == loinc {
			system = "LOINC"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", system, s.Code, s.For, s.Verified)
	}
	fmt.Fprintf(&b, codesTail, len(Locals()))
	return b.Bytes()
}

const codesHead = `# Codes in exported exams

Standard codes that an exported exam may hold, and how surely each was checked.
No description of a code system is shipped; the words are ours. This page is
written by ` + "`internal/publish/fhir`" + ` and held to the code by its tests.

- **valueset**: stands in a value set of a published measure.
- **gps**: stands in the SNOMED CT Global Patient Set of September 2020.
- **component**: the LOINC number and its component were checked, its other parts
  (site, method, scale) were not. A receiver should check them before it computes
  with the value.
- **public-sources**: agrees over several public code sets that do not depend on each
  other; not looked up in a licensed browser.

| system | code | stands for | checked |
| --- | --- | --- | --- |
`

const codesTail = `
Beside these stand %d codes of our own, listed in [foot-exam-codes.json](foot-exam-codes.json). They
are used where no standard code was found (the sites of the monofilament, the
single pulses, toe pressure, footwear, risk categories), and wherever a value such
as "lost to amputation" or "not possible today" must not be mistaken for a finding.
They are **local**: another system knows them only by that list.

Codes that were looked for and must not be used, because they mean something else
or could not be found, are in no list here: 44974-4, 44975-1 and 41979-6 are not
indices of the ankle, 76497-8 and 76498-6 were not found, and no code of a risk grade
was found.
`
