package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"culm/advice"
	"culm/agronomy/fertilizer"
	"culm/paper"
	"culm/season"
	"culm/server/page"
)

type cardCommand struct {
	fieldsAsked

	Rig     string `help:"The rig that drives, by its id in season.yaml; the only one that suits the product when not given." placeholder:"ID"`
	Out     string `help:"Write each card here, as HTML and PDF." placeholder:"DIR"`
	Working bool   `help:"Print how each number came about."`
	JSON    bool   `name:"json" help:"Print the cards as JSON."`
}

// Run makes a card for every field asked for.
func (c *cardCommand) Run(d *door) error {
	o, err := c.open(d)
	if err != nil {
		return err
	}
	if c.Out != "" {
		if err := os.MkdirAll(c.Out, 0o755); err != nil {
			return err
		}
	}
	var cards []advice.Card
	for _, fs := range o.fields {
		plan := o.advisor.Advise(fs)
		rig, err := c.rig(o.season, &plan)
		if err != nil {
			return err
		}
		card := advice.CardOf(&plan, rig, o.units)
		if err := c.write(&card); err != nil {
			return err
		}
		cards = append(cards, card)
		if !c.JSON {
			terminal{w: d.out, units: o.units, working: c.Working}.card(&card)
		}
	}
	if c.JSON {
		return printJSON(d.out, map[string]any{"version": advice.CardVersion, "cards": cards})
	}
	return nil
}

// rig finds the rig asked for, or the only one that carries the plan's product; nil when that is not told.
func (c *cardCommand) rig(s *season.Season, p *advice.Plan) (*season.Rig, error) {
	var ids []string
	var suits []*season.Rig
	for i := range s.Rigs {
		r := &s.Rigs[i]
		if r.ID == c.Rig {
			return r, nil
		}
		ids = append(ids, r.ID)
		if product, ok := fertilizer.Find(p.Decision.Product); ok && (product.Form == fertilizer.Liquid) == (r.Machine == season.Sprayer) {
			suits = append(suits, r)
		}
	}
	switch {
	case c.Rig != "" && len(ids) == 0:
		return nil, failWith(exitBadInput, "there is no rig %q: the season lists none under rigs: in season.yaml", c.Rig)
	case c.Rig != "":
		return nil, failWith(exitBadInput, "there is no rig %q; expected one of %s", c.Rig, strings.Join(ids, ", "))
	case len(suits) == 1:
		return suits[0], nil
	default:
		return nil, nil
	}
}

// write writes a card as HTML and PDF.
func (c *cardCommand) write(card *advice.Card) error {
	if c.Out == "" {
		return nil
	}
	pdf, err := paper.Card(card)
	if err != nil {
		return err
	}
	html, err := page.Card(card)
	if err != nil {
		return err
	}
	base := filepath.Join(c.Out, card.FieldID+"-card")
	return errors.Join(writeWhole(base+".pdf", pdf), writeWhole(base+".html", html))
}

// card prints a card.
func (t terminal) card(c *advice.Card) {
	who := []string{c.Field, c.Producer, c.Crop}
	for _, more := range []string{c.Area, c.Rig} {
		if more != "" {
			who = append(who, more)
		}
	}
	fmt.Fprintf(t.w, "%s. %s.\n", strings.Join(who, ", "), c.Day)
	if c.Invented {
		fmt.Fprintln(t.w, "Invented for demonstration: place, people and numbers are made up.")
	}
	fmt.Fprintf(t.w, "\n  %s\n\n", strings.ToUpper(c.Head[:1])+c.Head[1:])
	t.wrap("  ", "  ", c.Sentence)
	if c.Placed != "" {
		t.wrap("  ", "  ", c.Placed)
	}
	t.cardLines("set", c.Set)
	t.cardLines("loads", c.Loads)
	if len(c.Days) > 0 {
		fmt.Fprintln(t.w, "  days")
		for _, d := range c.Days {
			mark := " "
			if d.Best {
				mark = ">"
			}
			t.wrap(fmt.Sprintf("   %s %-11s ", mark, d.Day), strings.Repeat(" ", 17), d.Words)
		}
	}
	for _, list := range []struct {
		name string
		all  []string
	}{{"stop when", c.Stops}, {"keep off", c.Keep}, {"safety", c.Safety}, {"doubts", c.Doubts}} {
		if len(list.all) == 0 {
			continue
		}
		fmt.Fprintln(t.w, "  "+list.name)
		for _, text := range list.all {
			t.wrap("    - ", "      ", text)
		}
	}
	fmt.Fprintln(t.w, "  really spread")
	for _, blank := range c.Record {
		fmt.Fprintf(t.w, "    %-18s %s\n", blank, strings.Repeat("_", 40))
	}
	t.wrap("  ", "  ", c.Closing)
	if t.working {
		t.figures(&advice.Plan{Figures: c.Figures})
	}
	fmt.Fprintln(t.w)
}

func (t terminal) cardLines(name string, lines []advice.CardLine) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintln(t.w, "  "+name)
	for _, l := range lines {
		t.wrap(fmt.Sprintf("    %-26s ", l.Label), strings.Repeat(" ", 31), l.Value)
	}
}
