//go:build linux

package ask_test

import (
	"strings"
	"testing"
)

func TestInputEdits(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		for keys, want := range map[string]string{
			enter: `"30min"`, "15min\r": `"15min"`, "15\x1b[D\x1b[D9\x1b[F0\r": `"9150"`, "abc\x1512\r": `"12"`,
			"x12\x1b[H\x1b[3~\x05\r": `"12"`, "1 2\x17\x7f\x7f30\r": `"30"`, "-\r": "state 1", "<\r": "state 2",
			" 44 \r": `"44"`, "\x1b[1;5P\x1b[200~33\x1b[201~\r": `"33"`,
		} {
			s := start(t, "input", columns, rows)
			s.Wait("30min]:")
			s.Send(keys)
			end(t, s, want)
			if !strings.HasPrefix(s.Lines()[0], "Usual drive: ") {
				t.Errorf("after %q lines are left over:\n%s", keys, s.Text())
			}
		}
	})
}

func TestInputSaysWhatIsWrongAndKeepsTheText(t *testing.T) {
	s := start(t, "input", 80, 24)
	s.Wait("30min]:")
	s.Send("half" + enter)
	s.Wait(`"half" is not a time; give minutes, such as 30min`)
	s.Wait("30min]: half")
	s.Send("\x7f\r") // edited, and wrong again
	s.Wait(`"hal" is not a time`)
	s.Wait("30min]: hal")
	s.Send("?\r") // a new text takes its place
	s.Wait("From switching on to parking.")
	s.Send("20" + enter)
	end(t, s, `value "20"`)
}

func TestInputLongerThanTheLine(t *testing.T) {
	s := start(t, "input", 40, 20)
	s.Wait("30min]:")
	s.Send(strings.Repeat("1", 30) + strings.Repeat("7", 30))
	s.Wait("777")
	s.WaitGone("111")
	s.Send("\x01")
	s.Wait("]: 111")
	s.Send("\x05\x15" + "5\r")
	end(t, s, `value "5"`)
	if !strings.HasPrefix(s.Lines()[1], "RESULT") {
		t.Errorf("lines are left over:\n%s", s.Text())
	}
}
