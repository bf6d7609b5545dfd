package cli

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode"

	"stillbright/recommend/cli/wrong"
)

// hostileWord is what a hostile file may write wherever text stands: it clears
// the screen, names the window, does so with one C1 character, turns the order
// of letters, and begins a line of its own that looks like the program's.
const hostileWord = "w\x1b[2J\x1b]0;own\x07\u009b31m\u202etxt\u2066\x7f\u2028\x85\r\nstillbright: FORGED"

// obeyed finds what a terminal would obey, and lines that a file has forged.
func obeyed(text string) string {
	for i, r := range text {
		if r != '\n' && r != '\t' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == 0x2028 || r == 0x2029) {
			return fmt.Sprintf("%U in %q", r, text[max(0, i-40):min(len(text), i+40)])
		}
	}
	if strings.HasPrefix(text, "stillbright: FORGED") || strings.Contains(text, "\nstillbright: FORGED") {
		return "a forged line in " + text
	}
	return ""
}

// TestHostileTextReachesNoTerminal: whatever stands in a sheet, a mapping, an
// export, a record or a name of a file, nothing of it is obeyed by the terminal
// that shows the answer, as text and as JSON.
func TestHostileTextReachesNoTerminal(t *testing.T) {
	quoted := `"` + strings.ReplaceAll(hostileWord, "\n", " ") + `"`
	folder, catalog := t.TempDir(), filepath.Join(t.TempDir(), "bench")
	if code, _, stderr := run(t, "catalog", "start", catalog); code != wrong.ExitDone {
		t.Fatal(stderr)
	}
	rig := "format: 1\nid: h11-projector\nname: Board with an invented lamp\nsize: H11\nbeam: low\nhousing: projector\nsource: invented for a test\n"
	if err := os.WriteFile(filepath.Join(catalog, "rigs", "h11-projector.yaml"), []byte(rig), 0o600); err != nil {
		t.Fatal(err)
	}
	write := func(name, content string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	heads := "Bulb,Size,Date,Projector halogen lux,Projector lux 0 min"
	good := write("good.csv", heads+"\nVesper,H11,2026-03-01,700,900\n")
	named := "good.csv"
	if runtime.GOOS != "windows" {
		named = "g" + strings.ReplaceAll(hostileWord, "/", "") + ".csv"
	}
	lines := map[string][]string{}
	for name, file := range map[string]string{
		"heads":   write("heads.csv", heads+","+quoted+",Watts "+quoted[1:len(quoted)-1]+"\nVesper,H11,2026-03-01,700,900,x,y\n"),
		"cells":   write("cells.csv", heads+",Notes,Connector\n"+strings.Join([]string{quoted, quoted, quoted, quoted, quoted, quoted, quoted}, ",")+"\nVesper,H11,2026-03-01,700,900,"+quoted+","+quoted+"\n"+quoted+",H11,2026-03-02,700,900,x,y\n"),
		"titles":  write("titles.csv", quoted+"\n"+heads+"\nVesper,H11,2026-03-01,700,900\nTotal "+quoted[1:len(quoted)-1]+",,,,\n"),
		"more":    write("more.csv", "id,name,size,source,more of the bulb\n"+quoted+",a,H11,s,\n"+`a,b,H11,s,"{""`+strings.ReplaceAll(hostileWord, "\n", " ")+`"":1}"`+"\n"),
		"no head": write("letter.csv", hostileWord+"\n"+hostileWord+"\n"),
		"records": write("records.json", `{"schema":"stillbright/records/1","bulbs":[{"format":1,"id":"w\u001b[2J\u202e","name":"\u009b31m","kind":"led","size":"H11","source":"s"}],"rigs":[],"cars":[]}`),
		"schema":  write("schema.json", `{"schema":"w\u001b[2J\u202e\u009b"}`),
		"key":     write("key.json", `{"schema":"stillbright/records/1","w\u001b[2J\u202e\u009b":1}`),
		"raw":     write("raw.json", "{\"schema\":\"\u202e\u009b\x1b[2J\"}"),
		"name":    write(named, heads+"\nVesper,H11,2026-03-01,700,900\nOther,H99,2026-03-01,700,900\n"),
		"sheet":   write("sheet.xlsx", workbookNamed(t, hostileWord)),
		"absent":  filepath.Join(folder, "n"+strings.ReplaceAll(hostileWord, "/", "")+".csv"),
	} {
		lines[name] = []string{"catalog", "import", file}
		lines[name+", dry"] = []string{"catalog", "import", file, "--dry-run"}
	}
	lines["sheet asked"] = []string{"catalog", "import", filepath.Join(folder, "sheet.xlsx"), "--sheet", hostileWord + "x"}
	for i, text := range []string{
		"format: 1\ncolumns:\n- head: \"w\\u009b\\u202e\\u001b[2J\"\n  means: name\n",
		"format: 1\ncolumns:\n- head: Bulb\n  means: \"w\\u009b\\u202e\\u001b[2J\\n\"\n",
		"format: 1\n\"w\\u009b\\u202e\\u001b[2J\": 1\n",
		"format: 1\ndate: \"\\u009b\\u202e\\u001b[2J\"\ncolumns: []\n",
		"format: 1\nrigs: [\"\\u009b\\u202e\\u001b[2J\"]\ncolumns: []\n",
		"format: 1\u009b2J\n", "\u202e: x\n",
	} {
		lines[fmt.Sprint("mapping ", i)] = []string{"catalog", "import", good, "--dry-run", "--map", write(fmt.Sprint(i, ".yaml"), text)}
	}
	lines["export"] = []string{"catalog", "export", filepath.Join(folder, "e"+hostileWord+"/x.csv")}
	lines["export ending"] = []string{"catalog", "export", "x." + hostileWord}
	lines["list"] = []string{"catalog", "list"}
	lines["list size"] = []string{"catalog", "list", "--size", hostileWord}
	lines["check"] = []string{"catalog", "check"}
	lines["check full"] = []string{"catalog", "check", "--full"}
	lines["show"] = []string{"show", hostileWord}
	for name, line := range lines {
		for _, more := range [][]string{nil, {"--json"}} {
			if more != nil && line[1] == "export" {
				continue
			}
			code, stdout, stderr := run(t, append(append(append([]string{}, line...), "--catalog", catalog), more...)...)
			if found := obeyed(stdout); found != "" {
				t.Errorf("%s %v: standard output: %s", name, more, found)
			}
			if found := obeyed(stderr); found != "" {
				t.Errorf("%s %v: standard error: %s", name, more, found)
			}
			if stdout+stderr == "" {
				t.Errorf("%s %v: exit %d and not a word", name, more, code)
			}
		}
	}
	// A catalog in which records were made hostile by hand.
	for name, text := range map[string]string{
		"bulbs/w.yaml": "format: 1\nid: w\nname: \"w\\u009b\\u202e\\u001b[2J\\n\"\nkind: led\nsize: H11\nsource: s\n",
		"bulbs/k.yaml": "\"k\\u009b\\u202e\\u001b[2J\\n\": 1\n", "bulbs/r.yaml": "format: 1\u009b\u202e\n",
	} {
		path := filepath.Join(catalog, filepath.FromSlash(name))
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if runtime.GOOS != "windows" {
		if err := os.WriteFile(filepath.Join(catalog, "bulbs", "f\x1b[2J\u009b\u202e\nstillbright: FORGED.yaml"), []byte("format: 2\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, line := range [][]string{{"catalog", "check"}, {"catalog", "check", "--json"}, {"catalog", "list"}, {"catalog", "list", "--json"}, {"catalog", "import", good}, {"catalog", "export", filepath.Join(folder, "x.csv")}} {
		code, stdout, stderr := run(t, append(line, "--catalog", catalog)...)
		if found := obeyed(stdout) + obeyed(stderr); found != "" || code != 4 {
			t.Errorf("%v on hostile records: exit %d %s", line, code, found)
		}
	}
}

// workbookNamed has one sheet of tests and one other, both named so.
func workbookNamed(t *testing.T, name string) string {
	t.Helper()
	var content bytes.Buffer
	w := zip.NewWriter(&content)
	escaped := strings.NewReplacer("\x1b", "_x001B_", "\x07", "", "&", "&amp;", "\n", "&#10;", "\r", "&#13;").Replace(name)
	for part, text := range map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="r"><sheets><sheet name="` + escaped + `" sheetId="1" r:id="a"/><sheet name="x` + escaped + `" sheetId="2" r:id="b"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="a" Target="worksheets/sheet1.xml"/><Relationship Id="b" Target="worksheets/sheet1.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml":   `<worksheet><sheetData><row r="1"><c t="str"><v>Bulb</v></c><c t="str"><v>Size</v></c><c t="str"><v>Projector lux 0 min ` + escaped + `</v></c></row><row r="2"><c t="str"><v>` + escaped + `</v></c><c t="str"><v>H11</v></c><c><v>700</v></c></row></sheetData></worksheet>`,
	} {
		file, err := w.Create(part)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := file.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return content.String()
}
