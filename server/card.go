package server

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/paper"
	"culm/season"
	"culm/server/desk"
)

// cardView is what the operator's card shows.
type cardView struct {
	shell
	Card    advice.Card
	Open    opener
	Rigs    []season.Rig
	Rig     string // the id of the one that drives; empty where none was named
	Product fertilizer.Key
	Placed  string
	Unit    spreadUnit
	// Just is set when what was really spread was written down just now.
	Just bool
}

// operatorsCard makes the card of the field and the rig in the address.
func (v *visit) operatorsCard() (*desk.Sheet, *advice.Plan, advice.Card, string, error) {
	sheet, plan, err := v.plan()
	if err != nil {
		return nil, nil, advice.Card{}, "", err
	}
	rig, err := rigFor(sheet.Season.Rigs, v.r.URL.Query().Get("rig"), plan)
	if err != nil {
		return nil, nil, advice.Card{}, "", badRequest(err.Error(), err)
	}
	id := ""
	if rig != nil {
		id = rig.ID
	}
	return sheet, plan, advice.CardOf(plan, rig, v.reader.Units), id, nil
}

// rigFor finds the rig that is named, or the only one that carries the plan's product.
func rigFor(rigs []season.Rig, id string, p *advice.Plan) (*season.Rig, error) {
	product, known := fertilizer.Find(p.Decision.Product)
	var suits []*season.Rig
	for i := range rigs {
		r := &rigs[i]
		if r.ID == id {
			return r, nil
		}
		if known && (product.Form == fertilizer.Liquid) == (r.Machine == season.Sprayer) {
			suits = append(suits, r)
		}
	}
	switch {
	case id != "":
		return nil, fmt.Errorf("the season lists no rig %q", id)
	case len(suits) == 1:
		return suits[0], nil
	default:
		return nil, nil
	}
}

func (s *Server) card(v *visit) error {
	sheet, plan, card, rig, err := v.operatorsCard()
	if err != nil {
		return err
	}
	view := cardView{
		shell: v.shell(sheet, "Operator’s card of "+plan.Field.Name), Card: card, Rigs: sheet.Season.Rigs, Rig: rig,
		Product: plan.Decision.Product, Placed: plan.Decision.Placement, Just: v.r.URL.Query().Has("spread"),
	}
	figures := &advice.Plan{Figures: card.Figures, Units: v.reader.Units}
	view.Open = openerOf(figures, "")
	view.Open.source = plan.Source
	view.Unit = usualUnit(v.reader.Units, plan.Decision.Product)
	return v.show(http.StatusOK, cardPage(view))
}

func (s *Server) cardPDF(v *visit) error {
	_, plan, card, _, err := v.operatorsCard()
	if err != nil {
		return err
	}
	text, err := paper.Card(&card)
	if err != nil {
		return err
	}
	v.name("inline", plan.Field.ID+"-card.pdf")
	return v.send(http.StatusOK, "application/pdf", text)
}

// query names the rig in an address.
func (c cardView) query() string {
	if c.Rig == "" {
		return ""
	}
	return "?rig=" + escapeQuery(c.Rig)
}

// opens says that a line of the card has a working.
func (c cardView) opens(l advice.CardLine) bool { return l.Figure != "" && c.Open.has(l.Figure) }

// line writes a line of the card so that it opens its working.
func (c cardView) line(l advice.CardLine) working.Sentence {
	return working.Sentence{{Text: l.Value, Figure: l.Figure}}
}

// spreadUnit is a unit that a rate was read in.
type spreadUnit string

// The units: of nitrogen, of product by weight, and of product by volume.
const (
	poundsN      spreadUnit = "lb N/ac"
	kilogramsN   spreadUnit = "kg N/ha"
	pounds       spreadUnit = "lb/ac"
	kilograms    spreadUnit = "kg/ha"
	gallonsAcre  spreadUnit = "gal/ac"
	litreHectare spreadUnit = "L/ha"
)

func spreadUnits() []spreadUnit {
	return []spreadUnit{gallonsAcre, pounds, poundsN, litreHectare, kilograms, kilogramsN}
}

// words says what a unit counts.
func (u spreadUnit) words() string {
	switch u {
	case poundsN, kilogramsN:
		return strings.Replace(string(u), " N", " of nitrogen, N", 1)
	default:
		return string(u) + " of product"
	}
}

// usualUnit is the one that a monitor shows for a product.
func usualUnit(s unit.System, product fertilizer.Key) spreadUnit {
	p, _ := fertilizer.Find(product)
	switch liquid := p.Form == fertilizer.Liquid; {
	case liquid && s == unit.Metric:
		return litreHectare
	case liquid:
		return gallonsAcre
	case s == unit.Metric:
		return kilograms
	default:
		return pounds
	}
}

// nitrogenIn turns a rate as it was read into one of N.
func nitrogenIn(rate float64, u spreadUnit, p fertilizer.Product) (unit.Rate, error) {
	share := unit.Rate(p.Nitrogen.Value)
	switch u {
	case poundsN:
		return unit.Rate(rate) * unit.PoundPerAcre, nil
	case kilogramsN:
		return unit.Rate(rate), nil
	case pounds:
		return unit.Rate(rate) * unit.PoundPerAcre * share, nil
	case kilograms:
		return unit.Rate(rate) * share, nil
	}
	perLitre, liquid := p.NitrogenPerVolume()
	switch {
	case !liquid:
		return 0, fmt.Errorf("%s is dry, and its rate was given in %s; expected lb/ac or kg/ha", p.Name, u)
	case u == gallonsAcre:
		return unit.Rate(rate * float64(unit.GallonPerAcre) * float64(perLitre)), nil
	case u == litreHectare:
		return unit.Rate(rate * float64(perLitre)), nil
	default:
		return 0, fmt.Errorf("the unit %q is not known", u)
	}
}

// mostNitrogen is what is believed of one pass, kg/ha. Common practice, no source.
const mostNitrogen unit.Rate = 300

// reallySpread writes into the notebook what was spread.
func (s *Server) reallySpread(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	if err := v.r.ParseForm(); err != nil {
		return badRequest("the form could not be read", err)
	}
	done, err := spreadIn(v.r.PostForm.Get, sheet.Today)
	if err != nil {
		return badRequest("nothing was written down: "+err.Error(), err)
	}
	done.Field = plan.Field.ID
	if err := s.desk.Write(v.r.Context(), done.By, done.Day, &done); err != nil {
		return err
	}
	http.Redirect(v.w, v.r, fieldPath(plan.Field.ID, "card")+"?spread=now", http.StatusSeeOther)
	return nil
}

// spreadIn reads what was spread from a form.
func spreadIn(form func(string) string, today calendar.Day) (season.Applied, error) {
	by, on, err := signed(form, today)
	if err != nil {
		return season.Applied{}, err
	}
	product, ok := fertilizer.Find(form("product"))
	if !ok {
		return season.Applied{}, errors.New("it does not say which product")
	}
	rate, err := strconv.ParseFloat(strings.TrimSpace(form("rate")), 64)
	if err != nil || !(rate > 0) || rate > 1e5 {
		return season.Applied{}, fmt.Errorf("the rate is %q; expected a number above zero", form("rate"))
	}
	n, err := nitrogenIn(rate, spreadUnit(form("unit")), product)
	if err != nil {
		return season.Applied{}, err
	}
	if n > mostNitrogen {
		return season.Applied{}, fmt.Errorf("%g %s of %s is %s of nitrogen, more than is spread in one go; expected another number or unit", rate, form("unit"), product.Name, unit.Show(unit.KindRate, float64(n), unit.US))
	}
	done := season.Applied{Day: on, Product: product.Key, Rate: n, By: by, Note: noteIn(form, rate)}
	if placed := form("placed"); placed == "broadcast" || placed == "flat-fan" || placed == "stream" {
		done.Placement = placed
	}
	return done, nil
}

// noteIn puts what else an operator wrote into words, with the rate as it was read.
func noteIn(form func(string) string, rate float64) string {
	parts := []string{fmt.Sprintf("Read as %g %s", rate, form("unit"))}
	for _, name := range []string{"loads", "hours", "weather", "left-out"} {
		if text := strings.TrimSpace(form(name)); text != "" {
			text = text[:min(len(text), 200)]
			parts = append(parts, strings.ReplaceAll(name, "-", " ")+": "+strings.ToValidUTF8(text, ""))
		}
	}
	return strings.Join(parts, "; ") + "."
}
