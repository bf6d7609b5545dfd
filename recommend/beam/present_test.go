package beam

import (
	"image"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// lampOnWall is a simulated picture of one lamp's beam and one of the marks: a phone
// in automatic, held by hand, the marks around the lamp's centre but for the tape's
// and the carrying's error.
func lampOnWall(r *rand.Rand, aimed float64) (beam, marks image.Image, plan MarkPlan, truth float64) {
	n := r.NormFloat64
	s := cleanBeam(r)
	shift := aimed - s.cut
	s.cut, s.hotV, s.floodV = s.cut+shift, s.hotV+shift, s.floodV+shift
	wall := hall{distance: 5, across: 1, down: 0.8, room: 0.004}
	off := [2]float64{0.005 * n(), 0.005 * n()} // of the whole sheet against the lamp
	for k := range wall.tape {
		wall.tape[k] = [2]float64{off[0] + 0.003*n(), off[1] + 0.003*n()}
	}
	c := &phone{w: 1000, h: 750, wide: 62 + 6*r.Float64(), x: 0.5 + 0.3*n(), y: 0.3 + 0.2*n(), away: 0.3 + 0.3*r.Float64(),
		roll: 1.5 * n(), k1: 0.02 * n(), curve: 0.3 * r.Float64(), electrons: 4000, r: r}
	c.yaw = -math.Atan(c.x/5) * 180 / math.Pi
	c.pitch = -math.Atan((c.y+0.1)/5) * 180 / math.Pi
	c.pose(wall)
	white := [3]float64{1, 0.95, 0.9}
	marks = c.shoot(c.scene(nil, wall, 0, 0.5), 1.1, white, 0, 0)
	beam = c.shoot(c.scene(&s, wall, 1, wall.room), 0.25+0.3*r.Float64(), white, int(math.Round(2*n())), int(math.Round(2*n())))
	return beam, marks, MarkPlan{Across: 1, Down: 0.8, Distance: 5}, trueCutoff(&s)
}

// TestPresentAim: the cutoff of a lamp lies where the simulated wall has it, in 93 of
// 100 bands or more, also for lamps aimed too high or too low.
func TestPresentAim(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 5))
	n := evenings(24)
	held, worst, seen := 0, 0.0, 0
	for k := range n {
		img, marks, plan, truth := lampOnWall(r, -1.8+2.6*float64(k)/float64(n))
		p, err := PresentAim(img, marks, plan, Options{Beam: Low, Weights: DefaultWeights()})
		if err != nil {
			t.Logf("%.2f: %v", truth, err)
			continue
		}
		seen++
		worst = math.Max(worst, math.Abs(p.V-truth))
		if math.Abs(p.V-truth) <= p.Band {
			held++
		}
	}
	t.Logf("%d of %d read, %d bands hold, worst %.3f degrees", seen, n, held, worst)
	if seen*10 < n*9 || held*100 < seen*88 || worst > 0.4 {
		t.Errorf("%d of %d read, %d bands hold, worst %.3f degrees", seen, n, held, worst)
	}
}

// What cannot be read is refused, with the reason.
func TestPresentAimRefuses(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 6))
	img, marks, plan, _ := lampOnWall(r, -0.5)
	o := Options{Beam: Low, Weights: DefaultWeights()}
	for name, c := range map[string]struct {
		img, marks image.Image
		plan       MarkPlan
		want       string
	}{
		"turned over":    {Upright(img, 3), Upright(marks, 3), plan, "upside down"},
		"no marks":       {img, img, MarkPlan{1, 0.8, 50}, "wall 50 m"},
		"another place":  {img, marks, MarkPlan{1, 1.2, 5}, "measure both lengths"},
		"another camera": {img, image.NewGray(image.Rect(0, 0, 800, 600)), plan, "another size"},
		"no beam":        {marks, marks, plan, "no cutoff"},
	} {
		if _, err := PresentAim(c.img, c.marks, c.plan, o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}
