package answer

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/reply"
	"stillbright/recommend/road"
	"stillbright/recommend/sheets"
)

// everyBlock holds one of each block, with a hostile text wherever text may stand.
func everyBlock(name string) Document {
	return Document{
		Headline{Text: plainText(name), Tone: ToneGood},
		Line{Text: Text{{Text: name}, {Text: name, Kind: Strong}, {Text: name, Kind: Aside}, command(name),
			{Text: name, Link: "https://x.invalid/?q=" + name}, {Text: name, Link: "javascript:alert(1)"}, {Text: name, Link: "#law"}}},
		Break{},
		Caution{Text: plainText(name)},
		Headline{Text: plainText(name), Part: true},
		Question{Text: plainText(name), Flag: "--size"},
		List{Items: []Item{{Mark: "1.", Text: plainText(name)}, {Mark: "2.", Text: plainText(name), Under: []Item{{Text: plainText(name)}}}}},
		Break{},
		List{Labels: 8, Items: []Item{{Label: name, Text: plainText(name)}}},
		Table{Caption: name, Head: []string{"", name}, Row: 1, Rows: [][]string{{"1", name}, {"", ""}}},
		Picture{Title: name, Caption: name, Alt: name, Of: pictureOf(name)},
	}
}

type pictureOf string

func (p pictureOf) Lines(int) []string { return []string{string(p)} }

const everyBlockHTML = `<section>
<h2 class="good">a&lt;b&gt; &amp; &#34;c&#34;</h2>
<p>a&lt;b&gt; &amp; &#34;c&#34;<strong>a&lt;b&gt; &amp; &#34;c&#34;</strong><em>a&lt;b&gt; &amp; &#34;c&#34;</em><code>a&lt;b&gt; &amp; &#34;c&#34;</code><a href="https://x.invalid/?q=a&lt;b&gt; &amp; &#34;c&#34;">a&lt;b&gt; &amp; &#34;c&#34;</a>a&lt;b&gt; &amp; &#34;c&#34;<a href="#law">a&lt;b&gt; &amp; &#34;c&#34;</a></p>
</section>
<section>
<p class="caution"><strong>Caution:</strong> a&lt;b&gt; &amp; &#34;c&#34;</p>
</section>
<section>
<h3>a&lt;b&gt; &amp; &#34;c&#34;</h3>
<p class="question">a&lt;b&gt; &amp; &#34;c&#34;</p>
<ol>
<li>a&lt;b&gt; &amp; &#34;c&#34;
</li>
<li>a&lt;b&gt; &amp; &#34;c&#34;
<ul>
<li>a&lt;b&gt; &amp; &#34;c&#34;
</li>
</ul>
</li>
</ol>
</section>
<section>
<dl>
<dt>a&lt;b&gt; &amp; &#34;c&#34;</dt><dd>a&lt;b&gt; &amp; &#34;c&#34;</dd>
</dl>
<table>
<caption>a&lt;b&gt; &amp; &#34;c&#34;</caption>
<thead><tr><td></td><th scope="col">a&lt;b&gt; &amp; &#34;c&#34;</th></tr></thead>
<tbody>
<tr><td>1</td><th scope="row">a&lt;b&gt; &amp; &#34;c&#34;</th></tr>
<tr><td></td><td></td></tr>
</tbody>
</table>
<figure>
<figcaption>a&lt;b&gt; &amp; &#34;c&#34;</figcaption>
<pre role="img" aria-label="a&lt;b&gt; &amp; &#34;c&#34;">a&lt;b&gt; &amp; &#34;c&#34;</pre>
<p>a&lt;b&gt; &amp; &#34;c&#34;</p>
</figure>
</section>
`

func TestHTMLOfEachBlock(t *testing.T) {
	if got := everyBlock(`a<b> & "c"`).HTML(2); got != everyBlockHTML {
		t.Errorf("got:\n%s", got)
	}
}

// legalElements are what an answer may be made of, with the attributes of each.
var legalElements = map[string][]string{
	"section": nil, "h2": {"class"}, "h3": nil, "p": {"class"}, "strong": nil, "em": nil, "code": nil, "a": {"href"},
	"ol": nil, "ul": nil, "li": nil, "dl": nil, "dt": nil, "dd": nil, "table": nil, "caption": nil, "thead": nil, "tbody": nil,
	"tr": nil, "td": nil, "th": {"scope"}, "figure": nil, "figcaption": nil, "pre": {"role", "aria-label"},
}

// textOf reads a piece of HTML as strictly as XML and gives its text; nothing but
// the legal elements and attributes may stand in it.
func textOf(t *testing.T, page string) string {
	t.Helper()
	var text strings.Builder
	for decoder := xml.NewDecoder(strings.NewReader("<body>" + page + "</body>")); ; {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return text.String()
		}
		if err != nil {
			t.Fatalf("%v in:\n%s", err, page)
		}
		switch token := token.(type) {
		case xml.CharData:
			text.WriteString(string(token) + " ")
		case xml.StartElement:
			attributes, ok := legalElements[token.Name.Local]
			if !ok && token.Name.Local != "body" {
				t.Fatalf("an element %q in:\n%s", token.Name.Local, page)
			}
			for _, a := range token.Attr {
				if a.Value == "" || !slices.Contains(attributes, a.Name.Local) || a.Name.Local == "href" && strings.Contains(a.Value, "script") {
					t.Fatalf("%s has %s=%q", token.Name.Local, a.Name.Local, a.Value)
				}
			}
		case xml.Comment, xml.ProcInst, xml.Directive:
			t.Fatalf("%T in:\n%s", token, page)
		}
	}
}

// answersOf are answers of many verbs, with hostile names in the catalog when
// asked.
func answersOf(t *testing.T, hostile bool) map[string]Document {
	k, c := demoKnowledge(), knowntest.Demo()
	if hostile {
		for i := range c.Bulbs {
			c.Bulbs[i].Name, c.Bulbs[i].Notes = hostileName, []string{hostileName}
		}
		for i := range c.Cars {
			c.Cars[i].Name, c.Cars[i].Notes = hostileName, []string{hostileName}
		}
	}
	pick, err := recommend.Decide(&k, &c, projector, recommend.Options{Seed: 1, Ask: true})
	if err != nil {
		t.Fatal(err)
	}
	bulb, _ := c.Bulb("ostermoor-s22-h11")
	show := sheets.Show(&k, &c, bulb, 27)
	reply := reply.Reply{Asks: []string{"pick"}, Lamps: []reply.ReplyLamp{{Need: pick.Need, Pick: &pick}}, Catalog: pick.Catalog}
	return map[string]Document{
		"pick": Pick(&pick, PickOptions{Width: 80}), "pick --full": Pick(&pick, PickOptions{Width: 80, Full: true}),
		"show": Show(&show, true), "compare": Compare(compared(t, hostile, projector, sixBulbs...), true),
		"compare table": CompareTable(compared(t, hostile, projector, sixBulbs...)),
		"aim":           Aim(aimOf(t, sheets.AimRequest{DistanceMM: 10000, Dip: &road.Dip{Value: 1, Unit: "%"}}), AimOptions{Unit: "mm", Full: true}, 80),
		"law":           Law(sheets.LawSheetFor(&k, "GB", "", "2026-11-25")), "size": Size(sheets.SizeOf(data.SizeMatch{Size: known.Sizes()[0]}, nil)),
		"bulbs": Bulbs(c, ""), "cars": Cars(c), "car": Car(sheets.CarSheetOf(c.Cars[0], &c)), "guide": PatternGuide(),
		"limits": LimitTables(known.Limits()), "reply": Reply(&reply, "full"), "reply in Markdown": Reply(&reply, "markdown"),
		"every block": everyBlock(hostileName),
	}
}

var wordIn = regexp.MustCompile(`[\pL\d]{3,}`)

// TestEveryFormSaysTheSame: what a terminal shows stands in the HTML and in the
// Markdown, too, and no name becomes a mark, an element, a link or a command.
func TestEveryFormSaysTheSame(t *testing.T) {
	for _, hostile := range []bool{false, true} {
		for name, document := range answersOf(t, hostile) {
			shown := document.Terminal(400, false)
			page, marked := textOf(t, document.HTML(2)), document.Markdown()
			for _, word := range wordIn.FindAllString(shown, -1) {
				if !strings.Contains(page, word) {
					t.Errorf("%s, hostile %v: HTML lacks %q", name, hostile, word)
				}
				if !strings.Contains(marked, word) {
					t.Errorf("%s, hostile %v: Markdown lacks %q", name, hostile, word)
				}
			}
			if len(shown) < 100 {
				t.Errorf("%s shows only %q", name, shown)
			}
			inert := regexp.MustCompile(`(?m)^    .*$`).ReplaceAllString(marked, "") // pictures are code
			for _, bad := range []string{"<svg", "@team", "http://", "\x1b", "\u202e"} {
				if strings.Contains(inert, bad) {
					t.Errorf("%s: %q stands in the Markdown", name, bad)
				}
			}
			if strings.ContainsAny(shown+page, "\x1b\u202e") {
				t.Errorf("%s: a command for the terminal", name)
			}
		}
	}
}

// Colour is set and taken back within a line, and goes when it is not wanted.
func TestColour(t *testing.T) {
	document := everyBlock("name")
	coloured := document.Terminal(80, true)
	codes := regexp.MustCompile("\x1b\\[[0-9;]*m")
	if codes.ReplaceAllString(coloured, "") != document.Terminal(80, false) {
		t.Error("colour changes the text")
	}
	for _, line := range strings.Split(coloured, "\n") {
		if found := codes.FindAllString(line, -1); len(found) > 0 && (len(found) != 2 || found[1] != "\x1b[0m") {
			t.Errorf("%q", line)
		}
	}
	if !strings.Contains(coloured, "\x1b[1;32mname\x1b[0m") {
		t.Errorf("the headline of a good verdict: %q", strings.SplitN(coloured, "\n", 2)[0])
	}
}
