package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/recommend"
)

// howKnown words the confidence of a fact.
func howKnown(confidence string) string {
	if words, ok := confidenceWords[confidence]; ok {
		return words
	}
	return gateWord(confidence)
}

// fullReply is a reply of a few short paragraphs.
func fullReply(p parts) string {
	if p.politely != "" {
		return p.politely
	}
	var paragraphs []string
	add := func(sentences ...string) {
		if text := strings.TrimSpace(strings.Join(sentences, " ")); text != "" {
			paragraphs = append(paragraphs, text)
		}
	}
	lines := func(sentences []string) { add(strings.Join(sentences, "\n")) }
	facts := p.facts
	if p.factsFirst && len(facts) > 0 {
		add(facts[0].Text)
		facts = facts[1:]
	}
	lines(p.answer)
	for _, fact := range facts {
		if p.factsFirst {
			add(fact.Text)
		}
	}
	if len(p.after) > 0 {
		lines(p.after)
	}
	lines(p.named)
	lines(slices.Concat(p.law, p.halogen))
	lines(p.figures)
	lines(p.sure)
	if !p.factsFirst {
		for _, fact := range facts {
			add(fact.Text)
		}
	}
	if len(p.measure) > 0 {
		add("Before ordering, find out:\n- " + strings.Join(p.measure, "\n- "))
	}
	add(p.aim)
	add(p.notes...)
	if len(p.ask) > 0 {
		add("Tell me, to answer better: " + strings.Join(p.ask, " "))
	}
	if sources := sourceList(p.facts); sources != "" {
		add("Sources: " + sources)
	}
	if p.invented {
		add(inventedLine)
	}
	return strings.Join(paragraphs, "\n\n")
}

// sourceList is where the facts are from.
func sourceList(facts []recommend.ReplyFact) string {
	var texts []string
	for _, fact := range facts {
		text := strings.TrimSuffix(fact.Source, ".")
		if how := howKnown(fact.Confidence); !strings.Contains(text, how) {
			text += fmt.Sprintf(" (%s)", how)
		}
		if !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	if len(texts) == 0 {
		return ""
	}
	return strings.Join(texts, "; ") + "."
}

// Wrap breaks the paragraphs of a reply at a width, for a terminal.
func Wrap(text string, width int) string {
	p := newPage(width)
	for _, line := range strings.Split(text, "\n") {
		indent := ""
		if strings.HasPrefix(line, "- ") {
			indent = "  "
		}
		p.wrap(line, indent)
	}
	return strings.TrimSuffix(p.String(), "\n")
}
