package sheet

import (
	"bytes"
	"context"
	"encoding/csv"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
)

// throughOffice converts a workbook to CSV with LibreOffice, figures as they
// are stored and not as they are shown.
func throughOffice(t *testing.T, content []byte) [][]string {
	t.Helper()
	soffice, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("soffice (LibreOffice) is not installed")
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "x.xlsx"), content, 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	defer stop()
	run := exec.CommandContext(ctx, soffice, "-env:UserInstallation=file://"+folder+"/profile", "--headless", "--convert-to", "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false", "--outdir", folder, filepath.Join(folder, "x.xlsx"))
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	text, err := os.ReadFile(filepath.Join(folder, "x.csv"))
	if err != nil {
		t.Fatal(err)
	}
	reader := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF"))))
	reader.FieldsPerRecord = -1
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestOfficeReadsTheSame opens an export in LibreOffice and compares every cell
// with the CSV export of the same records; then the text that LibreOffice wrote
// is imported, and gives the same bulbs.
func TestOfficeReadsTheSame(t *testing.T) {
	demo, odd := knowntest.Demo(), generated(t, 3)
	for name, c := range map[string]data.Catalog{"demo": demo, "awkward texts": odd} {
		t.Run(name, func(t *testing.T) {
			workbook, err := Export(c, FormXLSX, known.Sizes())
			if err != nil {
				t.Fatal(err)
			}
			rows := throughOffice(t, workbook)
			text, err := Export(c, FormCSV, known.Sizes())
			if err != nil {
				t.Fatal(err)
			}
			want, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF")))).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			if len(rows) != len(want) {
				t.Fatalf("%d rows, want %d", len(rows), len(want))
			}
			wrong := 0
			for i := range want {
				for k := range want[0] {
					if a, b := rows[i][k], want[i][k]; !sameCell(a, b) {
						if wrong++; wrong < 10 {
							t.Errorf("row %d, %s: %q, want %q", i+1, want[0][k], a, b)
						}
					}
				}
			}
			if name != "demo" {
				return
			}
			var again bytes.Buffer
			if err := csv.NewWriter(&again).WriteAll(rows); err != nil {
				t.Fatal(err)
			}
			back := data.Catalog{}
			importTable(t, 0, "office", again.Bytes(), &back)
			sameBulbs(t, 0, "office", c, back)
		})
	}
}

// sameCell compares text exactly, and figures to twelve digits: LibreOffice
// writes fewer than a float has.
func sameCell(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	if err1 == nil && err2 == nil {
		return math.Abs(x-y) <= 1e-12*math.Abs(y)
	}
	return strings.ReplaceAll(a, "\r\n", "\n") == strings.ReplaceAll(b, "\r\n", "\n")
}
