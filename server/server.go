// Package server shows a season in the browser: the overview, each field's plan with the working of every
// number, the producer's page, the plans handed over, and what came of them after harvest.
//
// Handlers read from the desk, choose what a page shows and hand it to a template; nothing is computed here
// but words and places on a picture. Pages work without scripts; scripts from package web make them quicker
// to use.
package server

import (
	"cmp"
	"context"
	"net/http"
	"sync"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/server/desk"
	"culm/server/picture"
)

// Options say what a server shows. All but Books and Names are needed.
type Options struct {
	// Notebook holds the season; *notebook.Notebook is one.
	Notebook desk.Book
	// Today says what day it is. It is asked at every request and nowhere else is a clock read for advice.
	Today func() calendar.Day
	// Now stamps the plans that are handed over.
	Now func() time.Time
	// Engine is the version of the program.
	Engine string
	// Books are books of guidance beside those that come with Culm.
	Books []*rulebook.Book
	// Names are those under which a proxy on the same machine passes requests on.
	Names []string
}

// Server answers the browser. It is safe for use by several goroutines.
type Server struct {
	desk    *desk.Desk
	assets  assets
	handler http.Handler
	engine  string
	names   []string
	looks   *looks

	mu       sync.Mutex
	district district
}

// district is the map of a sheet, laid out once.
type district struct {
	sheet *desk.Sheet
	laid  *picture.District
}

// New gives a server. It reads nothing from the notebook yet, so it is quick; see Warm.
func New(o Options) (*Server, error) {
	d, err := desk.Open(desk.Options{Book: o.Notebook, Today: o.Today, Now: o.Now, Engine: o.Engine, Books: o.Books})
	if err != nil {
		return nil, err
	}
	a, err := readAssets()
	if err != nil {
		return nil, err
	}
	s := &Server{desk: d, assets: a, engine: o.Engine, names: o.Names, looks: newLooks()}
	s.handler = s.guard(s.routes())
	return s, nil
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Warm computes every plan ahead of the first visitor. Without it, and after every change of the notebook,
// the first visitor waits for what they look at.
func (s *Server) Warm(ctx context.Context) error {
	sheet, err := s.desk.Sheet(ctx)
	if err != nil {
		return err
	}
	sheet.Plans(cmp.Or(sheet.Season.Settings.Units, unit.US))
	s.districtOf(sheet)
	return nil
}

func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	page := func(pattern string, answer func(*visit) error) { mux.HandleFunc(pattern, s.visited(answer)) }
	page("GET /{$}", s.overview)
	page("GET /fields/{field}", s.field)
	page("GET /fields/{field}/working", s.working)
	page("GET /fields/{field}/plan.json", s.planJSON)
	page("GET /fields/{field}/days.json", s.daysJSON)
	page("GET /fields/{field}/days.ics", s.daysFeed)
	page("GET /fields/{field}/page", s.producersPage)
	page("GET /fields/{field}/page.pdf", s.producersPDF)
	page("GET /fields/{field}/after", s.after)
	page("POST /fields/{field}/hand-over", s.handOver)
	page("GET /fields/{field}/card", s.card)
	page("GET /fields/{field}/card.pdf", s.cardPDF)
	page("POST /fields/{field}/spread", s.reallySpread)
	page("GET /fields/{field}/cover", s.coverForm)
	page("POST /fields/{field}/cover", s.takePhotos)
	page("GET /fields/{field}/cover/{look}", s.showLook)
	page("POST /fields/{field}/cover/{look}", s.tellLook)
	page("GET /fields/{field}/cover/{look}/{photo}", s.lookedPhoto)
	page("GET /plans/{plan}", s.frozen)
	page("GET /plans/{plan}/frozen.json", s.frozenJSON)
	page("GET /days.ics", s.allDaysFeed)
	page("GET /rulebooks", s.rulebooks)
	page("GET /rulebooks/compare", s.compareRules)
	page("GET /rulebooks/{book}", s.rulebook)
	page("GET /sources", s.sources)
	page("GET /spots.geojson", s.spotsGeoJSON)
	page("GET /spots.gpx", s.spotsGPX)
	page("GET /healthz", s.healthz)
	page("POST /reader", s.setReader)
	page("/", func(*visit) error { return errNoPage })
	mux.Handle("GET /assets/", s.assets)
	return mux
}

// districtOf gives the map of a sheet.
func (s *Server) districtOf(sheet *desk.Sheet) *picture.District {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.district.sheet != sheet {
		s.district = district{sheet, picture.LayDistrict(sheet.Season.Fields, sheet.Season.Boundaries)}
	}
	return s.district.laid
}
