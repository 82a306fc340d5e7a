package server

import (
	"net/http"

	"culm/paper"
	"culm/server/page"
)

// producersPage shows the page that a producer is given.
func (s *Server) producersPage(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	return v.show(http.StatusOK, page.Document(plan, sheet.Season.Boundaries[plan.Field.ID], page.Served{
		Stylesheets: s.assets.paperStyles(), Back: fieldPath(plan.Field.ID), PDF: fieldPath(plan.Field.ID, "page.pdf"),
		Icon: s.assets.address("mark.svg"),
	}))
}

func (s *Server) producersPDF(v *visit) error {
	sheet, plan, err := v.plan()
	if err != nil {
		return err
	}
	text, err := paper.Page(plan, sheet.Season.Boundaries[plan.Field.ID])
	if err != nil {
		return err
	}
	v.name("inline", plan.Field.ID+".pdf")
	return v.send(http.StatusOK, "application/pdf", text)
}
