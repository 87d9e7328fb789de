package qrda

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tengram/internal/testdata"
)

// schematron is one set of rules, compiled to a stylesheet.
type schematron struct{ sheet string }

// isoStylesheets turn a schematron into a stylesheet; they come with the Debian
// package python3-lxml.
const isoStylesheets = "/usr/lib/python3/dist-packages/lxml/isoschematron/resources/xsl/iso-schematron-xslt1"

// need fails, with what to do, where a program or file is missing.
func need(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatalf("%v: scripts/packages.sh installs what this test runs (libxml2-utils, xsltproc, python3-lxml)", err)
	}
}

func compileSchematron(t testing.TB, folder, file string) schematron {
	t.Helper()
	source := testdata.Shared(t, "qrda-cda-validation", "schematron", folder)
	if _, err := os.Stat(isoStylesheets); err != nil {
		need(t, err)
	}
	dir := t.TempDir()
	rules := filepath.Join(source, file)
	var text []byte
	for i, step := range []string{"iso_dsdl_include.xsl", "iso_abstract_expand.xsl", "iso_svrl_for_xslt1.xsl"} {
		args := []string{filepath.Join(isoStylesheets, step), "-"}
		if i == 0 {
			args[1] = rules
		}
		cmd := exec.Command("xsltproc", args...)
		cmd.Stdin = bytes.NewReader(text)
		out, err := cmd.Output()
		need(t, err)
		text = out
	}
	sheet := filepath.Join(dir, "rules.xsl")
	voc, err := os.ReadFile(filepath.Join(source, "voc.xml"))
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string][]byte{sheet: text, filepath.Join(dir, "voc.xml"): voc} {
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return schematron{sheet}
}

func hl7Rules(t testing.TB) schematron {
	return compileSchematron(t, "hl7-qrda-iii-stu2.1", "qrda3.sch")
}

func cmsRules(t testing.TB) schematron {
	return compileSchematron(t, "cms-2025-qrda-iii", "cms_qrda3_2025.sch")
}

// check returns the ids of the failed rules: errors and warnings apart.
func (s schematron) check(t testing.TB, doc []byte) (failed, warned []string) {
	t.Helper()
	cmd := exec.Command("xsltproc", s.sheet, write(t, doc))
	out, err := cmd.Output()
	need(t, err)
	fired := 0
	for d := xml.NewDecoder(bytes.NewReader(out)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch e.Name.Local {
		case "fired-rule":
			fired++
		case "failed-assert":
			for _, a := range e.Attr {
				if a.Name.Local != "id" {
					continue
				}
				if strings.HasSuffix(a.Value, "-warning") {
					warned = append(warned, a.Value)
				} else {
					failed = append(failed, a.Value)
				}
			}
		}
	}
	if fired < 20 { // a rule that never fires is no pass
		t.Fatalf("only %d rules looked at the document", fired)
	}
	slices.Sort(failed)
	slices.Sort(warned)
	return slices.Compact(failed), slices.Compact(warned)
}

// bySchema returns what the CDA schema says, or nothing.
func bySchema(t testing.TB, doc []byte) string {
	t.Helper()
	schema := testdata.Shared(t, "qrda-cda-validation", "xsd", "infrastructure", "cda", "CDA_SDTC.xsd")
	cmd := exec.Command("xmllint", "--noout", "--nonet", "--schema", schema, write(t, doc))
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return ""
	case errors.As(err, &exit):
		return strings.TrimSpace(string(out))
	}
	need(t, err)
	return ""
}

func write(t testing.TB, doc []byte) string {
	t.Helper()
	f, err := os.CreateTemp(t.TempDir(), "*.xml")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.Write(doc); err != nil {
		t.Fatal(err)
	}
	return f.Name()
}

// TestTheRulesFindNothingInTheGuidesOwnSamples shows that the rules run as they
// are meant to: errors and warnings are those that the samples announce.
func TestTheRulesFindNothingInTheGuidesOwnSamples(t *testing.T) {
	for _, c := range []struct {
		rules    schematron
		sample   string
		warnings int
	}{
		{hl7Rules(t), "hl7_qrda3_stu2.1_july2020.xml", 1},
		{cmsRules(t), "cms2025_primary_care_first.xml", 1},
	} {
		doc, err := os.ReadFile(testdata.Shared(t, "qrda-cda-validation", "samples", c.sample))
		if err != nil {
			t.Fatal(err)
		}
		failed, warned := c.rules.check(t, doc)
		if len(failed) > 0 || len(warned) < c.warnings {
			t.Errorf("%s: %v, warnings %v", c.sample, failed, warned)
		}
		if says := bySchema(t, doc); says != "" {
			t.Errorf("%s: %s", c.sample, says)
		}
	}
}
