package store

import "stillbright/data"

const head = "format: 1\nid: tarn-h11   # as on the shelf\nname: Tarn\nkind: led\nsize: 9005\nsource: own bench\n"

var mergeExamples = []struct {
	name      string
	old, want string
	change    func(*data.Bulb)
	lost      int
}{
	{
		name:   "set what was missing",
		old:    head,
		want:   "format: 1\nid: tarn-h11   # as on the shelf\nname: Tarn\nkind: led\nsize: 9005\nbuild:\n  rear_length: 57.15mm\nsource: own bench\n",
		change: func(b *data.Bulb) { b.Build.Rear = p(57.15) },
	},
	{
		name:   "set a number beside a comment",
		old:    head + "build:\n  rear_length: 2.25 in  # with the plug\n",
		want:   head + "build:\n  rear_length: 60mm  # with the plug\n",
		change: func(b *data.Bulb) { b.Build.Rear = p(60.0) },
	},
	{
		name:   "the first lot and test, where an empty list stood",
		old:    head + "lots: []\n# end\n",
		want:   head + "lots:\n  - lot: a\n    tests:\n      - rig: proj\n        date: 2026-01-02\n        readings:\n          - {at: 0min, lux: 1001}\n# end\n",
		change: addTest("a", data.Test{Rig: "proj", Date: "2026-01-02", Readings: []data.Reading{{At: 0, Lux: 1001}}}),
	},
	{
		name: "a test behind the last, lists at the margin",
		old:  head + "lots:\n- lot: a\n  tests:\n  - rig: proj\n    date: 2026-01-02\n    # meter was recalibrated after this\n\n# see the paper log\nnotes: [x]\n",
		want: head + "lots:\n- lot: a\n  tests:\n  - rig: proj\n    date: 2026-01-02\n    # meter was recalibrated after this\n  - rig: refl\n    date: 2026-01-03\n\n# see the paper log\nnotes: [x]\n",

		change: addTest("a", data.Test{Rig: "refl", Date: "2026-01-03"}),
	},
	{
		name: "a new lot, with the breaks of the file and no last one",
		old:  "format: 1\r\nid: b\r\nname: b\r\nkind: led\r\nsize: H7\r\nsource: s\r\nlots:\r\n    - lot: a # first",
		want: "format: 1\r\nid: b\r\nname: b\r\nkind: led\r\nsize: H7\r\nsource: s\r\nlots:\r\n    - lot: a # first\r\n    - lot: b\r\n      tests:\r\n        - rig: proj\r\n          date: 2026-01-02",

		change: addTest("b", data.Test{Rig: "proj", Date: "2026-01-02"}),
	},
	{
		name: "a pattern replaced",
		old:  head + "lots:\n  - lot: a\n    tests:\n      - rig: proj\n        date: 2026-01-02\n        pattern:          # by eye\n          method: grade\n          marks: {cutoff: 3, stray: 1}   # doubtful\n        notes: [x]\n",
		want: head + "lots:\n  - lot: a\n    tests:\n      - rig: proj\n        date: 2026-01-02\n        pattern:          # by eye\n          method: grid\n          parts: {sharpness: 0.9}\n          stray_vs_stock: 1.2\n        notes: [x]\n",
		change: func(b *data.Bulb) {
			b.Lots[0].Tests[0].Pattern = &data.PatternRecord{Method: "grid", Parts: &data.Parts{Sharpness: p(0.9)}, StrayVsStock: p(1.2)}
		},
		lost: 1, // it stood on the line that went
	},
	{
		name:   "a reading in brackets over several lines",
		old:    head + "lots:\n  - lot: a\n    tests:\n      - {rig: proj, date: 2026-01-02, readings: [ # lux\n         {at: 0min, lux: 1001}, # cold\n         {at: 9 min, lux: 900}  # hot\n        ]}\n",
		want:   head + "lots:\n  - lot: a\n    tests:\n      - {rig: proj, date: 2026-01-02, readings: [ # lux\n         {at: 0min, lux: 1001}, # cold\n         {at: 9 min, lux: 905}, {at: 30min, lux: 880}  # hot\n        ], cap: off}\n",
		change: func(b *data.Bulb) { changeReadings(&b.Lots[0].Tests[0]) },
	},
	{
		name:   "a lot taken out, the words above it stay",
		old:    head + "lots:\n  # bought in spring\n  - lot: a\n    bought: 2026-01-01 # shop\n  - lot: b\n",
		want:   head + "lots:\n  # bought in spring\n  - lot: b\n",
		change: func(b *data.Bulb) { b.Lots = b.Lots[1:] },
		lost:   1,
	},
	{
		name:   "behind a text that keeps its blank lines",
		old:    head + "notes:\n  - |+\n    first line\n\n\nmodel: m\n",
		want:   head + "notes:\n  - |+\n    first line\n\n\n  - second\nmodel: m2\n",
		change: func(b *data.Bulb) { b.Notes, b.Model = append(b.Notes, "second"), "m2" },
	},
	{
		name:   "keys with question marks",
		old:    head + "? model\n: m # the model\n? claims\n: lumens: 5\n  watts: 20\n",
		want:   head + "? claims\n: lumens: 5\n  watts: 20\n  cct: 6000\n",
		change: func(b *data.Bulb) { b.Model, b.Claims.CCT = "", p(6000.0) },
		lost:   1,
	},
	{
		name:   "the first key of an item taken out",
		old:    head + "lots:\n  - bought: 2026-01-01 # shop\n    lot: a\n",
		want:   head + "lots:\n  - lot: a\n",
		change: func(b *data.Bulb) { b.Lots[0].Bought = "" },
		lost:   1,
	},
	{
		name:   "a whole group taken out, another put in",
		old:    head + "claims:\n  lumens: 5 # bold\n\n# the driver\nsupply:\n  driver: inline\n",
		want:   head + "\n# the driver\nsupply:\n  driver: inline\n  volts_max: 16\n",
		change: func(b *data.Bulb) { b.Claims, b.Supply.VoltsMax = data.Claims{}, p(16.0) },
		lost:   1,
	},
	{
		name:   "a text of several lines made short",
		old:    head + "notes:\n  - |\n    first line\n    second line\n\n  - other\n",
		want:   head + "notes:\n  - short\n\n  - other\n",
		change: func(b *data.Bulb) { b.Notes[0] = "short" },
	},
}

func addTest(lot string, test data.Test) func(*data.Bulb) {
	return func(b *data.Bulb) {
		for i := range b.Lots {
			if b.Lots[i].Name == lot {
				b.Lots[i].Tests = append(b.Lots[i].Tests, test)
				return
			}
		}
		b.Lots = append(b.Lots, data.Lot{Name: lot, Tests: []data.Test{test}})
	}
}

func changeReadings(t *data.Test) {
	t.Readings[1].Lux = 905
	t.Readings = append(t.Readings, data.Reading{At: 30, Lux: 880})
	t.Cap = "off"
}
