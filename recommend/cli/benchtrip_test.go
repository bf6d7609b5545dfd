package cli_test

import (
	"encoding/json"
	"testing"
)

// hotAt is the light of the first bulb at the end of a drive, and the half-width of
// its band in percent: against stock, and of the run alone.
func hotAt(t *testing.T, folder, trip string) (vsStock, stockPct, runPct float64) {
	t.Helper()
	code, stdout, stderr := run("pick", "--catalog", folder, "--size", "H11", "--housing", "projector", "--rear-clearance", "60mm", "--trip", trip, "--json")
	if code != 0 {
		t.Fatalf("%s: exit code %d: %s", trip, code, stderr)
	}
	var pick struct {
		Ranked []struct {
			Hot struct {
				VsStock float64 `json:"vs_stock"`
				Low     float64 `json:"vs_stock_low"`
				High    float64 `json:"vs_stock_high"`
			} `json:"hot"`
		} `json:"ranked"`
	}
	if err := json.Unmarshal([]byte(stdout), &pick); err != nil || len(pick.Ranked) == 0 {
		t.Fatalf("%s: %v: %s", trip, err, stdout)
	}
	code, stdout, stderr = run("show", "b", "--catalog", folder, "--trip", trip, "--json")
	var show struct {
		Lots []struct {
			Tests []struct {
				Figures struct {
					Lux  float64 `json:"lux"`
					Low  float64 `json:"lux_low"`
					High float64 `json:"lux_high"`
				} `json:"figures"`
			} `json:"tests"`
		} `json:"lots"`
	}
	if err := json.Unmarshal([]byte(stdout), &show); err != nil || code != 0 {
		t.Fatalf("%s: exit code %d: %v: %s", trip, code, err, stderr)
	}
	hot, figures := pick.Ranked[0].Hot, show.Lots[0].Tests[0].Figures
	return hot.VsStock, 50 * (hot.High - hot.Low) / hot.VsStock, 50 * (figures.High - figures.Low) / figures.Lux
}

// TestTripMovesTheFigure: a run of seven readings over six minutes gives another
// light at the end of a drive of 50 minutes than of 10, with a wider band.
func TestTripMovesTheFigure(t *testing.T) {
	folder := emptyCatalog(t)
	code, _, stderr := run("bench", "add", "b", "--catalog", folder, "--name", "Slow 20", "--kind", "led", "--size", "H11", "--price", "60USD", "--rear-length", "44mm", "--driver", "internal",
		"--rig", "r", "--rig-name", "board", "--rig-size", "H11", "--rig-beam", "low", "--housing", "projector", "--meter-class", "B", "--lot", "1", "--date", "2026-03-01",
		"--stock", "700", "--stock-last", "698", "--stock-volts", "13.2", "--volts", "13.2", "--point", "searched", "--cap", "on",
		"--reading", "6s=1290 1=1262 2=1236 3=1212 4=1187 5=1171 6=1157", "--marks", "cutoff=3,hot_spot=3,dark=3,width=2", "--stray-vs-stock", "1.1")
	if code != 0 {
		t.Fatal(stderr)
	}
	at10, stock10, run10 := hotAt(t, folder, "10min")
	at50, stock50, run50 := hotAt(t, folder, "50min")
	t.Logf("10 min: %.3f times stock, ±%.1f %% (run alone ±%.1f %%); 50 min: %.3f, ±%.1f %% (±%.1f %%)", at10, stock10, run10, at50, stock50, run50)
	if !(at50 < 0.99*at10) {
		t.Errorf("%.3f times stock at 10 min, %.3f at 50 min", at10, at50)
	}
	if !(run50 > 1.5*run10 && stock50 > stock10) {
		t.Errorf("the bands at 10 and 50 min are ±%.1f %% and ±%.1f %% of the run, ±%.1f %% and ±%.1f %% against stock", run10, run50, stock10, stock50)
	}
}
