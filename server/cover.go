package server

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/cover"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
	"culm/server/desk"

	"gonum.org/v1/gonum/stat/distuv"
)

// coverView is what the pages of cover show.
type coverView struct {
	shell
	Field season.Field
	Look  look
	// Combined is of the photos that are fit; HasCover is false where none is.
	Combined cover.Combined
	HasCover bool
	Plan     *advice.Plan
	Day      calendar.Day // that what was seen is written down for, unless a person says otherwise
}

func (s *Server) coverView(v *visit, sheet *desk.Sheet, l look) coverView {
	view := coverView{Look: l, Day: sheet.Today}
	if plan, ok := sheet.Plan(l.Field, v.reader.Units); ok {
		view.Plan, view.Field = plan, plan.Field
	}
	view.shell = v.shell(sheet, "Ground of "+view.Field.Name)
	view.Here = fieldPath(l.Field, "cover")
	if len(l.Photos) > 0 {
		view.Here = lookPath(l)
	}
	if c, err := cover.Combine(l.fit()); err == nil {
		view.Combined, view.HasCover = c, true
	}
	for _, p := range l.Photos {
		if !p.Taken.IsZero() && !p.Taken.After(sheet.Today) && !p.Taken.Before(view.Field.Planted) {
			view.Day = p.Taken
		}
	}
	return view
}

func (s *Server) coverForm(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	return v.show(http.StatusOK, coverFormPage(s.coverView(v, sheet, look{Field: plan.Field.ID})))
}

// found gives the season and the photos in the address.
func (s *Server) found(v *visit) (*desk.Sheet, look, error) {
	sheet, plan, err := v.plan()
	if err != nil {
		return nil, look{}, err
	}
	l, err := s.looks.find(plan.Field.ID, v.r.PathValue("look"))
	return sheet, l, err
}

func (s *Server) showLook(v *visit) error {
	sheet, l, err := s.found(v)
	if err != nil {
		return err
	}
	v.w.Header().Set("Cache-Control", "no-store")
	return v.show(http.StatusOK, lookPage(s.coverView(v, sheet, l)))
}

// lookedPhoto sends a photo, "1.jpg", or its patches as the browser's part reckons with them, "1.json".
func (s *Server) lookedPhoto(v *visit) error {
	_, l, err := s.found(v)
	if err != nil {
		return err
	}
	place, kind, _ := strings.Cut(v.r.PathValue("photo"), ".")
	n, err := strconv.Atoi(place)
	if err != nil || n < 1 || n > len(l.Photos) {
		return errNoPage
	}
	v.w.Header().Set("Cache-Control", "no-store")
	switch p := l.Photos[n-1]; kind {
	case "jpg":
		return v.send(http.StatusOK, "image/jpeg", p.Picture)
	case "json":
		return v.showJSON(patchesOf(p))
	default:
		return errNoPage
	}
}

// tellLook takes what a person says of patches and, when asked to, writes what was seen down.
func (s *Server) tellLook(v *visit) error {
	sheet, l, err := s.found(v)
	if err != nil {
		return err
	}
	if err := v.r.ParseForm(); err != nil {
		return badRequest("the form could not be read", err)
	}
	if l.Kept { // sent twice
		http.Redirect(v.w, v.r, lookPath(l), http.StatusSeeOther)
		return nil
	}
	if l, err = l.told(v.r.PostForm.Get); err != nil {
		return badRequest("nothing was corrected: "+err.Error(), err)
	}
	if v.r.PostForm.Get("do") == "keep" {
		if err := s.keep(v, sheet, l); err != nil {
			return err
		}
		l.Kept = true
	}
	s.looks.put(l)
	http.Redirect(v.w, v.r, lookPath(l), http.StatusSeeOther)
	return nil
}

// told takes from a form what is said of each photo: told-1 holds all of it, patch-1 and class-1 one patch more.
func (l look) told(form func(string) string) (look, error) {
	photos := append([]looked(nil), l.Photos...)
	for i, p := range photos {
		n := strconv.Itoa(i + 1)
		told, err := readTold(p.First.Grid, form("told-"+n))
		if err != nil {
			return l, err
		}
		if name := strings.TrimSpace(form("patch-" + n)); name != "" {
			if told, err = tellOne(p.First.Grid, told, name, cover.Class(form("class-"+n))); err != nil {
				return l, err
			}
		}
		if photos[i], err = p.tell(told); err != nil {
			return l, err
		}
	}
	l.Photos = photos
	return l, nil
}

// readTold reads corrections as "F7:soil A3:green". What each patch was taken for stands in the photo.
func readTold(g cover.Grid, text string) ([]cover.Correction, error) {
	var all []cover.Correction
	for _, word := range strings.Fields(text) {
		name, class, _ := strings.Cut(word, ":")
		var err error
		if all, err = tellOne(g, all, name, cover.Class(class)); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// tellOne says what a patch is, in place of what was said of it before. No class takes back what was said.
func tellOne(g cover.Grid, told []cover.Correction, name string, to cover.Class) ([]cover.Correction, error) {
	patch, ok := g.Find(name)
	if !ok {
		return nil, fmt.Errorf("there is no patch %q; the photo has A1 to %s", name, g.Name(len(g.Patches)-1))
	}
	var all []cover.Correction
	for _, c := range told {
		if c.Patch != patch {
			all = append(all, c)
		}
	}
	if to == "" {
		return all, nil
	}
	return append(all, cover.Correction{Patch: patch, From: g.Patches[patch].Class, To: to}), nil
}

// writeTold writes what readTold reads.
func (p looked) writeTold() string {
	var words []string
	for _, c := range p.Told {
		words = append(words, p.First.Grid.Name(c.Patch)+":"+string(c.To))
	}
	return strings.Join(words, " ")
}

var (
	errNobody = errors.New("it does not say who looked")
	errNoDay  = errors.New("it does not say on which day")
)

// keep writes residue and green leaves into the notebook, as a visit to the field.
func (s *Server) keep(v *visit, sheet *desk.Sheet, l look) error {
	by, on, err := signed(v.r.PostForm.Get, sheet.Today)
	if err != nil {
		return badRequest("nothing was written down: "+err.Error(), err)
	}
	c, err := cover.Combine(l.fit())
	if err != nil {
		return badRequest("none of the photos is fit to be counted", err)
	}
	seen := season.Visit{Field: l.Field, Day: on, Observer: by}
	for _, before := range sheet.Season.Visits[l.Field] {
		if before.Subject() == seen.Subject() {
			seen = *before // what else was noted that day stands
		}
	}
	seen.Residue = factOf(c, c.Cover.Residue, by, on)
	seen.Green = factOf(c, c.Cover.Green, by, on)
	return s.desk.Write(v.r.Context(), by, on, &seen)
}

// factOf is a share of ground with where it comes from.
func factOf(c cover.Combined, r cover.Range, by string, on calendar.Day) working.Fact[unit.Fraction] {
	return working.Fact[unit.Fraction]{Value: r.Value, Origin: working.Origin{
		Kind: working.Observed, By: by, On: on,
		With: fmt.Sprintf("%s taken straight down, %s to %s %%", plural(c.Photos, "photo"), points(r.Low), points(r.High)),
	}}
}

// signed reads who saw or did something and when: a day up to today.
func signed(form func(string) string, today calendar.Day) (by string, on calendar.Day, err error) {
	if by = strings.TrimSpace(form("by")); by == "" || len(by) > 120 {
		return "", on, errNobody
	}
	if on, err = calendar.Parse(form("day")); err != nil {
		return "", on, errNoDay
	}
	if on.After(today) {
		return "", on, fmt.Errorf("%s is still to come", on)
	}
	return by, on, nil
}

// patches is a photo as the browser reckons with it. Ranges are value, low and high.
type patches struct {
	Columns int     `json:"columns"`
	Rows    int     `json:"rows"`
	Side    int     `json:"side"`
	Width   int     `json:"width"`
	Height  int     `json:"height"`
	Fit     bool    `json:"fit"`
	Patches []patch `json:"patches"`
}

type patch struct {
	Class   cover.Class `json:"class"`
	Green   [3]float64  `json:"green"`
	Residue [3]float64  `json:"residue"`
	Soil    [3]float64  `json:"soil"`
	Unseen  float64     `json:"unseen"`
	Pixels  int         `json:"pixels"`
}

func patchesOf(p looked) patches {
	g := p.First.Grid
	out := patches{g.Columns, g.Rows, g.Side, p.First.Width, p.First.Height, p.First.Fit, nil}
	three := func(r cover.Range) [3]float64 { return [3]float64{float64(r.Value), float64(r.Low), float64(r.High)} }
	for i, q := range g.Patches {
		wide := min(g.Side, p.First.Width-i%g.Columns*g.Side)
		high := min(g.Side, p.First.Height-i/g.Columns*g.Side)
		out.Patches = append(out.Patches, patch{q.Class, three(q.Cover.Green), three(q.Cover.Residue), three(q.Cover.Soil), float64(q.Cover.Unseen), wide * high})
	}
	return out
}

// quantiles are Student's of 97.5 %, for two photos and more, for the browser to reckon with.
func quantiles() string {
	var all []string
	for freedom := 1; freedom < mostPhotos; freedom++ {
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile(0.975)
		all = append(all, strconv.FormatFloat(t, 'g', -1, 64))
	}
	return strings.Join(all, " ")
}

// points writes a share without its sign, a half to the even number.
func points(f unit.Fraction) string { return strconv.Itoa(int(math.RoundToEven(100 * float64(f)))) }

// shareOf writes a share with its range: "42 (30 to 55) %".
func shareOf(r cover.Range) string {
	return points(r.Value) + " (" + points(r.Low) + " to " + points(r.High) + ")\u202f%"
}

func lookPath(l look, below ...string) string {
	return fieldPath(l.Field, append([]string{"cover", l.ID}, below...)...)
}
