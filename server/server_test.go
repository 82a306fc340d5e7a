package server_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/rulebook"
	"culm/demo"
	"culm/notebook"
	"culm/season"
	"culm/server"

	"golang.org/x/net/html"
)

// site is a server over a notebook, as a browser meets it.
type site struct {
	*httptest.Server
	t testing.TB
}

// serve puts entries into a new notebook and serves it on the invented district's day.
func serve(t testing.TB, entries []season.Entry, books ...*rulebook.Book) site {
	t.Helper()
	s, _ := serveBook(t, entries, books...)
	return s
}

// serveBook also gives the notebook.
func serveBook(t testing.TB, entries []season.Entry, books ...*rulebook.Book) (site, *listening) {
	t.Helper()
	book, err := notebook.Open(t.Context(), filepath.Join(t.TempDir(), "season.sqlite"), notebook.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { book.Close() })
	if _, err := book.Append(t.Context(), entries...); err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return time.Date(2027, 2, 10, 15, 0, 0, 0, time.UTC) }
	kept := &listening{Notebook: book}
	s, err := server.New(server.Options{Notebook: kept, Today: demo.Today, Now: now, Engine: "test", Books: books})
	if err != nil {
		t.Fatal(err)
	}
	at := httptest.NewServer(s)
	t.Cleanup(at.Close)
	if at.Client().Jar, err = cookiejar.New(nil); err != nil {
		t.Fatal(err)
	}
	return site{at, t}, kept
}

// answer is a response with its body read.
type answer struct {
	*http.Response
	text string
}

func (s site) do(r *http.Request) answer {
	s.t.Helper()
	response, err := s.Client().Do(r)
	if err != nil {
		s.t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return answer{response, string(text)}
}

func (s site) get(path string) answer {
	s.t.Helper()
	r, err := http.NewRequest("GET", s.URL+path, nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return s.do(r)
}

func (s site) post(path string, form url.Values) answer {
	s.t.Helper()
	r, err := http.NewRequest("POST", s.URL+path, strings.NewReader(form.Encode()))
	if err != nil {
		s.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.do(r)
}

// element is a tag of a page with its attributes.
type element struct {
	tag   string
	attrs map[string]string
}

// elements lists the tags of a page.
func elements(text string) []element {
	var all []element
	z := html.NewTokenizer(strings.NewReader(text))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return all
		case html.StartTagToken, html.SelfClosingTagToken:
			token := z.Token()
			e := element{token.Data, map[string]string{}}
			for _, a := range token.Attr {
				e.attrs[a.Key] = a.Val
			}
			all = append(all, e)
		}
	}
}

// ids are the elements that a page names. It fails the test when a name is given twice.
func ids(t *testing.T, page string, all []element) map[string]bool {
	t.Helper()
	found := map[string]bool{}
	for _, e := range all {
		if id := e.attrs["id"]; id != "" {
			if found[id] {
				t.Errorf("%s: two elements are called %q", page, id)
			}
			found[id] = true
		}
	}
	return found
}

// checkPage holds for every page: safe, whole, and everything that opens has something to open.
func checkPage(t *testing.T, path string, a answer, status int) {
	t.Helper()
	if a.StatusCode != status {
		t.Fatalf("%s: status %d, want %d\n%s", path, a.StatusCode, status, a.text[:min(len(a.text), 400)])
	}
	if kind := a.Header.Get("Content-Type"); kind != "text/html; charset=utf-8" {
		t.Errorf("%s: content type %q", path, kind)
	}
	if csp := a.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") {
		t.Errorf("%s: content security policy %q", path, csp)
	}
	all := elements(a.text)
	known := ids(t, path, all)
	headings := 0
	for _, e := range all {
		if e.tag == "h1" {
			headings++
		}
		for name, value := range e.attrs {
			switch {
			case name == "style", strings.HasPrefix(name, "on"):
				t.Errorf("%s: <%s %s=%q>, which the policy forbids", path, e.tag, name, value)
			case name == "popovertarget", name == "aria-labelledby", name == "for":
				if !known[value] {
					t.Errorf("%s: <%s %s=%q> names nothing on the page", path, e.tag, name, value)
				}
			case name == "href" && strings.HasPrefix(value, "#"):
				if id, err := url.PathUnescape(value[1:]); err != nil || !known[id] {
					t.Errorf("%s: <%s href=%q> leads nowhere", path, e.tag, value)
				}
			case (name == "href" || name == "src") && strings.Contains(value, "//") && !strings.HasPrefix(value, "/"):
				t.Errorf("%s: <%s %s=%q> leads off this server", path, e.tag, name, value)
			}
		}
		if (e.tag == "script" || e.tag == "style") && e.attrs["src"] == "" {
			t.Errorf("%s: a <%s> inside the page, which the policy forbids", path, e.tag)
		}
	}
	if headings != 1 {
		t.Errorf("%s: %d first headings, want 1", path, headings)
	}
	if strings.Contains(a.text, "%!") || strings.Contains(a.text, "NaN") {
		t.Errorf("%s: holds a number or word that went wrong", path)
	}
}

func TestEveryPageOfEveryField(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	for _, f := range season.Assemble(demo.Season(demo.Cast, 1)).Fields {
		for _, below := range []string{"", "/working", "/page", "/after"} {
			path := "/fields/" + f.ID + below
			a := s.get(path)
			checkPage(t, path, a, http.StatusOK)
			if !strings.Contains(a.text, html.EscapeString(f.Name)) && !strings.Contains(a.text, f.Name) {
				t.Errorf("%s does not name the field %q", path, f.Name)
			}
		}
	}
	for _, path := range []string{"/", "/sources", "/?q=quarter", "/?action=hold", "/?q=no+such+field", "/?page=99", "/?crop=canola&producer=x"} {
		checkPage(t, path, s.get(path), http.StatusOK)
	}
}

func TestTheSentenceStandsEverywhere(t *testing.T) {
	entries := demo.Season(demo.Cast, 1)
	s := serve(t, entries)
	advisor, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	fs, _ := season.Assemble(entries).Of("mill-quarter", demo.Today())
	plan := advisor.Advise(fs)
	want := plan.Sentence.Read(&plan.Figures, plan.Units)
	for _, path := range []string{"/", "/?q=mill+quarter", "/fields/mill-quarter", "/fields/mill-quarter/page"} {
		if got := words(s.get(path).text); !strings.Contains(got, want) {
			t.Errorf("%s does not say %q", path, want)
		}
	}
}

// words is the text of a page without its tags.
func words(page string) string {
	var b strings.Builder
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return b.String()
		case html.TextToken:
			b.WriteString(html.UnescapeString(string(z.Text())))
		}
	}
}

func TestHostileNamesStayText(t *testing.T) {
	const hostile = `"><script>alert(1)</script><b x='`
	entries := demo.Season(demo.Cast, 1)
	for i, e := range entries {
		switch b := e.Body.(type) {
		case *season.Producer:
			b.Name = hostile
		case *season.Field:
			if b.ID == "mill-quarter" {
				b.Name = hostile
			}
		case *season.Settings:
			b.Name, b.District, b.Advisor, b.LocalRules = hostile, hostile, hostile, hostile
		case *season.Readings:
			b.Observer, b.Instrument, b.Strip = hostile, hostile, hostile
		}
		entries[i] = e
	}
	s := serve(t, entries)
	if !strings.Contains(s.get("/fields/mill-quarter").text, "&lt;script&gt;") {
		t.Error("the hostile name is not on the page at all")
	}
	for _, path := range []string{
		"/", "/fields/mill-quarter", "/fields/mill-quarter/working", "/fields/mill-quarter/page", "/fields/mill-quarter/after",
		"/?q=" + url.QueryEscape(hostile), "/fields/" + url.PathEscape(hostile), "/plans/" + url.PathEscape(hostile),
	} {
		a := s.get(path)
		if strings.Contains(a.text, "<script>") || strings.Contains(a.text, "<b x=") {
			t.Errorf("%s lets a name become part of the page", path)
		}
	}
}

func TestHandingAPlanOver(t *testing.T) {
	s := serve(t, append(demo.Season(demo.Cast, 1), demo.AfterHarvest(1)...))
	form := url.Values{"by": {"R. Example"}}
	for _, e := range elements(s.get("/fields/mill-quarter").text) {
		if e.tag == "input" && e.attrs["type"] == "hidden" && e.attrs["name"] != "back" {
			form.Set(e.attrs["name"], e.attrs["value"])
		}
	}
	a := s.post("/fields/mill-quarter/hand-over", form)
	path := a.Request.URL.Path
	if !strings.HasPrefix(path, "/plans/mill-quarter-2027-02-10-") {
		t.Fatalf("handing over led to %s, status %d", path, a.StatusCode)
	}
	checkPage(t, path, a, http.StatusOK)
	for _, want := range []string{"Handed over.", "every number and word identical", "R. Example"} {
		if !strings.Contains(a.text, want) {
			t.Errorf("the plan's page does not say %q", want)
		}
	}
	var frozen advice.Frozen
	if err := json.Unmarshal([]byte(s.get(path+"/frozen.json").text), &frozen); err != nil {
		t.Fatal(err)
	}
	if plan, err := frozen.Read(); err != nil || plan.Field.ID != "mill-quarter" {
		t.Errorf("the saved plan is of %q, %v", plan.Field.ID, err)
	}
	if !strings.Contains(s.get("/fields/mill-quarter").text, path) {
		t.Error("the field's page does not list the plan")
	}
	after := s.get("/fields/mill-quarter/after")
	checkPage(t, "after", after, http.StatusOK)
	if !strings.Contains(after.text, "The advice was right.") { // see demo: the strip was right
		t.Error("the page after harvest does not judge the plan")
	}

	form.Set("revision", "1")
	if a := s.post("/fields/mill-quarter/hand-over", form); a.StatusCode != http.StatusConflict {
		t.Errorf("a plan read at another revision: status %d, want %d", a.StatusCode, http.StatusConflict)
	}
	form.Set("revision", "x")
	if a := s.post("/fields/mill-quarter/hand-over", form); a.StatusCode != http.StatusBadRequest {
		t.Errorf("a plan of no revision: status %d, want %d", a.StatusCode, http.StatusBadRequest)
	}
}

func TestUnitsAndLightAreRemembered(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	if !strings.Contains(s.get("/fields/mill-quarter").text, "lb/ac") {
		t.Error("the season's own units are not US")
	}
	a := s.post("/reader", url.Values{"units": {"metric"}, "back": {"/fields/mill-quarter?x=1"}})
	if a.Request.URL.RequestURI() != "/fields/mill-quarter?x=1" {
		t.Errorf("a choice led to %s", a.Request.URL)
	}
	text := words(a.text)
	if !strings.Contains(text, "kg/ha of nitrogen as urea") || strings.Contains(text, "0.60\u202fin") {
		t.Error("the page is not in metric units throughout")
	}
	s.post("/reader", url.Values{"light": {"dusk"}})
	if !strings.Contains(s.get("/").text, `data-light="dusk"`) {
		t.Error("dusk was not remembered")
	}
	s.post("/reader", url.Values{"light": {"auto"}, "units": {"furlongs"}})
	if text := s.get("/").text; strings.Contains(text, `data-light="dusk"`) || !strings.Contains(text, "lb/ac") {
		t.Error("the choice was not given back")
	}
	for _, elsewhere := range []string{"https://elsewhere.example/", "//elsewhere.example/", `/\elsewhere.example`, ""} {
		if a := s.post("/reader", url.Values{"back": {elsewhere}}); a.Request.URL.Path != "/" {
			t.Errorf("a way back of %q led to %s", elsewhere, a.Request.URL)
		}
	}
}

func TestFiles(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	var plan advice.Plan
	if err := json.Unmarshal([]byte(s.get("/fields/mill-quarter/plan.json").text), &plan); err != nil || plan.Version != advice.Version {
		t.Errorf("plan.json: version %q, %v", plan.Version, err)
	}
	if pdf := s.get("/fields/mill-quarter/page.pdf"); !strings.HasPrefix(pdf.text, "%PDF-") || pdf.Header.Get("Content-Type") != "application/pdf" {
		t.Errorf("page.pdf begins %q", pdf.text[:min(len(pdf.text), 8)])
	}
	var all, one struct{ Features []json.RawMessage }
	for path, into := range map[string]any{"/spots.geojson": &all, "/spots.geojson?field=red-gate-eighty": &one} {
		if err := json.Unmarshal([]byte(s.get(path).text), into); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
	if len(one.Features) == 0 || len(all.Features) <= len(one.Features) {
		t.Errorf("%d features of one field, %d of all", len(one.Features), len(all.Features))
	}
	if gpx := s.get("/spots.gpx?field=red-gate-eighty"); !strings.Contains(gpx.text, "<gpx") {
		t.Error("spots.gpx is not GPX")
	}
	if ok := s.get("/healthz"); ok.StatusCode != 200 || ok.text != "ok\n" {
		t.Errorf("healthz: %d %q", ok.StatusCode, ok.text)
	}
}

func TestWhatIsNotThereIsSaid(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	for path, want := range map[string]string{
		"/fields/nowhere":           "The season has no such field.",
		"/fields/nowhere/page.pdf":  "The season has no such field.",
		"/spots.gpx?field=nowhere":  "The season has no such field.",
		"/plans/none":               "No plan was handed over under this name.",
		"/anything/else":            "There is no such page.",
		"/fields/mill-quarter/none": "There is no such page.",
	} {
		a := s.get(path)
		checkPage(t, path, a, http.StatusNotFound)
		if !strings.Contains(a.text, want) {
			t.Errorf("%s does not say %q", path, want)
		}
	}
	if a := s.get("/assets/none.css"); a.StatusCode != http.StatusNotFound {
		t.Errorf("a file that is not there: status %d", a.StatusCode)
	}
}

func TestAnEmptyNotebookHasAPage(t *testing.T) {
	a := serve(t, nil).get("/")
	checkPage(t, "/", a, http.StatusOK)
	if !strings.Contains(a.text, "The notebook holds no fields yet.") {
		t.Error("an empty notebook is not said to be empty")
	}
}

func TestOtherSitesCannotWriteOrRead(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	r, _ := http.NewRequest("POST", s.URL+"/reader", strings.NewReader("units=metric"))
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if a := s.do(r); a.StatusCode != http.StatusForbidden {
		t.Errorf("a form of another site: status %d, want %d", a.StatusCode, http.StatusForbidden)
	}
	r, _ = http.NewRequest("GET", s.URL+"/", nil)
	r.Host = "rebound.example"
	if a := s.do(r); a.StatusCode != http.StatusMisdirectedRequest {
		t.Errorf("another name for this machine: status %d, want %d", a.StatusCode, http.StatusMisdirectedRequest)
	}
}

func TestPagesAreCompressed(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	r, _ := http.NewRequest("GET", s.URL+"/fields/mill-quarter", nil)
	r.Header.Set("Accept-Encoding", "gzip")
	if a := s.do(r); a.Header.Get("Content-Encoding") != "gzip" || len(a.text) > 60<<10 {
		t.Errorf("encoding %q, %d bytes", a.Header.Get("Content-Encoding"), len(a.text))
	}
}

func TestTheProducersPageBringsItsStyle(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	for _, e := range elements(s.get("/fields/mill-quarter/page").text) {
		if e.tag == "link" && e.attrs["rel"] == "stylesheet" {
			a := s.get(e.attrs["href"])
			if a.StatusCode != 200 || !strings.HasPrefix(a.Header.Get("Content-Type"), "text/css") || !strings.Contains(a.Header.Get("Cache-Control"), "immutable") {
				t.Errorf("%s: status %d, %v", e.attrs["href"], a.StatusCode, a.Header)
			}
		}
	}
}

// The overview of a thousand fields, from the cache, as a browser asks for it.
func BenchmarkOverviewOfAThousandFields(b *testing.B) {
	s := serve(b, demo.Season(1000, 1))
	s.get("/")
	b.ResetTimer()
	for b.Loop() {
		if a := s.get("/"); a.StatusCode != 200 {
			b.Fatal(a.Status)
		}
	}
}

// What a server does before it can answer.
func BenchmarkStart(b *testing.B) {
	book, err := notebook.Open(b.Context(), filepath.Join(b.TempDir(), "season.sqlite"), notebook.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer book.Close()
	for b.Loop() {
		if _, err := server.New(server.Options{Notebook: book, Today: demo.Today, Now: time.Now, Engine: "test"}); err != nil {
			b.Fatal(err)
		}
	}
}

// One field's page, from the cache.
func BenchmarkField(b *testing.B) {
	s := serve(b, demo.Season(demo.Cast, 1))
	s.get("/fields/mill-quarter")
	b.ResetTimer()
	for b.Loop() {
		if a := s.get("/fields/mill-quarter"); !bytes.Contains([]byte(a.text), []byte("Spread")) {
			b.Fatal(a.Status)
		}
	}
}
