package server

import (
	"net/http"
	"strconv"
	"strings"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/notebook"
	"culm/server/desk"
)

// handOver freezes a plan and shows it as it was frozen.
func (s *Server) handOver(v *visit) error {
	if err := v.r.ParseForm(); err != nil {
		return badRequest("the form could not be read", err)
	}
	seen, err := seenIn(v.r.PostForm.Get("revision"), v.r.PostForm.Get("today"))
	if err != nil {
		return badRequest("it does not say which plan was read", err)
	}
	by := strings.TrimSpace(v.r.PostForm.Get("by"))
	label, err := s.desk.HandOver(v.r.Context(), v.r.PathValue("field"), by, seen)
	if err != nil {
		return err
	}
	http.Redirect(v.w, v.r, planPath(label.ID)+"?handed=over", http.StatusSeeOther)
	return nil
}

func seenIn(revision, today string) (desk.Seen, error) {
	r, err := strconv.ParseInt(revision, 10, 64)
	if err != nil {
		return desk.Seen{}, err
	}
	day, err := calendar.Parse(today)
	return desk.Seen{Revision: notebook.Revision(r), Today: day}, err
}

// frozenView is what the page of a plan that was handed over shows.
type frozenView struct {
	shell
	Label  notebook.PlanLabel
	Plan   advice.Plan
	Open   opener
	Replay advice.Replay
	Now    string // the version that computed it again
	Just   bool   // it was handed over just now
}

func (s *Server) frozen(v *visit) error {
	sheet, err := v.sheet()
	if err != nil {
		return err
	}
	f, err := s.desk.Frozen(v.r.Context(), v.r.PathValue("plan"))
	if err != nil {
		return err
	}
	plan, err := f.Read()
	if err != nil {
		return err
	}
	replay, err := s.desk.Replay(f)
	if err != nil {
		return err
	}
	return v.show(http.StatusOK, frozenPage(frozenView{
		shell: v.shell(sheet, "Plan of "+plan.Field.Name), Label: f.Label(), Plan: plan,
		Open: openerOf(&plan, ""), Replay: replay, Now: s.engine, Just: v.r.URL.Query().Has("handed"),
	}))
}

func (s *Server) frozenJSON(v *visit) error {
	f, err := s.desk.Frozen(v.r.Context(), v.r.PathValue("plan"))
	if err != nil {
		return err
	}
	v.offer(f.ID + ".json")
	return v.showJSON(f.Frozen)
}

// replayed says what computing the plan again found.
func (f frozenView) replayed() string {
	if f.Replay.Identical {
		return "Computed again just now from the input kept with it: every number and word identical, " + plural(f.Replay.Compared, "value") + " compared."
	}
	return "Computed again just now by version " + f.Now + ", " + plural(len(f.Replay.Differences), "value") + " of " + strconv.Itoa(f.Replay.Compared) + " came out differently. What was handed over is shown above and is unchanged."
}

// spaced writes a hash in groups that can be read aloud.
func spaced(hash string) string {
	var b strings.Builder
	for i, r := range hash {
		if i > 0 && i%8 == 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
	}
	return b.String()
}
