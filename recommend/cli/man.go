package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data/known"

	"stillbright/data"
	"stillbright/recommend/plaintext"
)

// The manual page is made from the same commands, flags, examples and topics
// that the help prints, so that it cannot say anything else.

const manDescription = `stillbright turns an independent bench tester's records of LED replacement headlamp bulbs into a decision for one vehicle owner, before money is spent: which bulb for this car and this drive, will it fit, is it still bright at the end of the drive, does it dazzle others, is it allowed on the road, what has to be measured before ordering, and how are the lamps aimed afterwards. The fitted halogen is always in the running.

Light is judged hot, at the end of the trip, against the stock halogen measured in the same lamp, with a band that says how far the figure can be trusted. What is not known never counts as good. Glare is a gate that no weight can open. Nothing leaves the machine.

Flags work before and after arguments; behind -- nothing is a flag. With no terminal, or with --no-input, nothing is asked: what is missing is named, with its flag. The result alone goes to standard output; questions and notes go to the terminal or to standard error.

The bulbs, the bench and the cars that ship with the program are invented, and every answer from them says so.`

// leastCaution is the weight from which a caution stands in the manual page.
const leastCaution = 40

// manPage writes the manual page as man(7) source.
func (env *Env) manPage(app *cli.App) string {
	m := &manWriter{}
	build := env.Build.sheet()
	date := string(build.Date)
	if len(date) < len("2026-01-02") {
		date = string(env.today())
	}
	fmt.Fprintf(&m.out, ".TH STILLBRIGHT 1 %s \"stillbright %s\" \"User Commands\"\n.nh\n.ad l\n", date[:len("2026-01-02")], roff(build.Version))
	m.section("Name")
	m.line("stillbright \\- " + roff(app.Usage))
	m.section("Synopsis")
	m.out.WriteString(".B stillbright\n.I verb\n[\\fIflags\\fR] [\\fIarguments\\fR]\n.br\n.B stillbright\n\\fB\\-\\-help\\fR | \\fB\\-\\-version\\fR [\\fB\\-\\-json\\fR]\n")
	m.section("Description")
	m.text(manDescription)
	m.section("Verbs")
	for _, command := range app.Commands {
		m.verb(command, command.Name)
	}
	m.section("The need")
	m.text("Flags that say what is wanted, the same for pick, fit, reply and compare.")
	m.flags(needFlags())
	m.section("Examples")
	for i, e := range manExamples(app) {
		if i > 0 {
			m.line(".PP")
		}
		m.line(roff(e.says) + ":")
		m.line(".PP")
		m.code(breakCommand(e.line, manCodeWidth))
	}
	for _, topic := range []struct{ title, text string }{
		{"Units", topicText("units")}, {"Words", topicText("words")}, {"Measuring", measureHelp()}, {"Trouble", topicText("trouble")},
		{"Environment", topicText("environment")}, {"Files", topicText("files")}, {"Exit status", topicText("exit-codes")},
	} {
		m.section(topic.title)
		m.topic(topic.text)
	}
	m.section("Cautions")
	m.text("Local code and licensed practice decide; this is not legal advice. No speed is ever called safe.")
	for _, caution := range known.Cautions() {
		if caution.Weight >= leastCaution {
			m.line(".IP \\(bu 2")
			m.fill(caution.Text)
		}
	}
	m.section("Standards")
	m.topic(topicText("sources"))
	m.section("See also")
	m.text("stillbright help TOPIC, where TOPIC is one of: " + strings.Join(helpTopics(), ", ") + ".")
	return m.out.String()
}

// manExamples are one example of each verb that needs nobody to answer, under
// what the verb does.
func manExamples(app *cli.App) (list []example) {
	for _, command := range app.Commands {
		all := examplesOf(command, command.Name)
		i := slices.IndexFunc(all, func(e example) bool { return len(strings.Fields(e.line)) > 2 && !strings.Contains(e.says, "asks") })
		if i < 0 || command.Hidden || command.Name == "help" {
			continue
		}
		says, _, _ := strings.Cut(command.Usage, ";")
		list = append(list, example{all[i].line, strings.ToUpper(says[:1]) + says[1:]})
	}
	return list
}

func topicText(name string) string {
	text, _ := known.HelpTopic(name)
	return text
}

type manWriter struct{ out strings.Builder }

func (m *manWriter) section(title string) {
	m.out.WriteString(".SH " + strings.ToUpper(title) + "\n")
}

func (m *manWriter) line(text string) { m.out.WriteString(text + "\n") }

// text writes paragraphs; a sentence begins a new line of the source.
func (m *manWriter) text(text string) {
	for i, paragraph := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if i > 0 {
			m.line(".PP")
		}
		m.fill(paragraph)
	}
}

// sourceWidth is where a line of the source is broken, manCodeWidth where a
// command is: 80 columns less the formatter's margins.
const (
	sourceWidth  = 72
	manCodeWidth = 66
)

// fill writes running text; the formatter fills its lines anew.
func (m *manWriter) fill(text string) {
	for _, line := range plaintext.Wrap(strings.Join(strings.Fields(text), " "), sourceWidth) {
		m.line(roff(line))
	}
}

func (m *manWriter) verb(command *cli.Command, path string) {
	if command.Hidden {
		return
	}
	fmt.Fprintf(&m.out, ".SS stillbright %s", roff(path))
	if arguments := strings.TrimSpace(command.ArgsUsage); arguments != "" {
		m.out.WriteString(" " + strings.ReplaceAll(roff(arguments), `"`, `\(dq`))
	}
	m.line("")
	m.fill(strings.ToUpper(command.Usage[:1]) + command.Usage[1:] + ".")
	if command.Description != "" {
		m.line(".PP")
		m.text(command.Description)
	}
	own, hasNeed := ownFlags(command.Flags)
	if hasNeed {
		m.line(".PP")
		m.line("Takes the flags of")
		m.line(".BR \"THE NEED\" ,")
		m.line("and:")
	}
	m.flags(own)
	if len(command.Subcommands) == 0 {
		m.example(examples[path])
	}
	for _, below := range command.Subcommands {
		m.verb(below, path+" "+below.Name)
	}
}

// ownFlags are those beside the flags of the need.
func ownFlags(flags []cli.Flag) (own []cli.Flag, hasNeed bool) {
	shared := map[string]string{}
	for _, f := range needFlags() {
		shared[f.Names()[0]] = flagUsage(f)
	}
	count := 0
	for _, f := range flags {
		if shared[f.Names()[0]] == flagUsage(f) {
			count++
		}
	}
	if count < len(shared) {
		return flags, false
	}
	for _, f := range flags {
		if shared[f.Names()[0]] != flagUsage(f) {
			own = append(own, f)
		}
	}
	return own, true
}

func (m *manWriter) flags(flags []cli.Flag) {
	for _, f := range flags {
		name, value, _ := strings.Cut(flagName(f), " ")
		m.line(".TP")
		if value == "" {
			m.line(".B " + roff(name))
		} else {
			m.line(`\fB` + roff(name) + `\fR \fI` + roff(value) + `\fR`)
		}
		m.fill(flagUsage(f))
	}
}

func (m *manWriter) example(list []example) {
	if len(list) == 0 {
		return
	}
	for i, e := range list {
		m.line(".PP")
		says := e.says
		if says == "" && i == 0 {
			says = "for example"
		}
		if says != "" {
			m.line(roff(strings.ToUpper(says[:1])+says[1:]) + ":")
			m.line(".PP")
		}
		m.code(breakCommand(e.line, manCodeWidth))
	}
}

// code writes lines as they are.
func (m *manWriter) code(lines []string) {
	m.out.WriteString(".nf\n.RS 4\n")
	for i, line := range lines {
		if i > 0 && strings.HasSuffix(lines[i-1], `\`) {
			line = "  " + line
		}
		m.line(roff(line))
	}
	m.out.WriteString(".RE\n.fi\n")
}

// term is a line of a topic that begins with a word to be explained.
var term = data.LateRegexp(`^(\S.*?)  +(\S.*)$`)

// topic turns a help topic into man source: its heading goes, a word and its
// text become a tagged paragraph, indented blocks of code stay as they are.
func (m *manWriter) topic(text string) {
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")[1:]
	fresh := true // nothing stands in the section yet
	paragraph := false
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		next := ""
		if i+1 < len(lines) {
			next = lines[i+1]
		}
		parts := term().FindStringSubmatch(line)
		switch {
		case line == "":
			paragraph = false
		case strings.HasPrefix(line, "  ") && !strings.HasPrefix(line, "     ") && !paragraph:
			var code []string
			for ; i < len(lines) && strings.HasPrefix(lines[i], "  "); i++ {
				code = append(code, strings.TrimPrefix(lines[i], "  "))
			}
			i--
			m.line(".PP")
			m.code(code)
			fresh = false
		case parts != nil || strings.HasPrefix(next, "        ") && !strings.HasPrefix(line, " "):
			m.line(".TP")
			if parts != nil {
				m.line(".B " + roff(strings.ReplaceAll(parts[1], `"`, `\(dq`)))
				m.fill(parts[2])
			} else {
				m.line(".B " + roff(line))
			}
			fresh, paragraph = false, true
		case strings.HasPrefix(line, " "):
			m.fill(line)
		default:
			if !paragraph && !fresh {
				m.line(".PP")
			}
			m.fill(line)
			fresh, paragraph = false, true
		}
	}
}

var roffSpecial = strings.NewReplacer(`\(dq`, `\(dq`, `\`, `\e`, "-", `\-`, "'", `\(aq`, "`", `\(ga`, "^", `\(ha`, "~", `\(ti`)

// roff protects what the formatter would take for its own.
func roff(text string) string {
	text = roffSpecial.Replace(text)
	if strings.HasPrefix(text, ".") {
		text = `\&` + text
	}
	return text
}
