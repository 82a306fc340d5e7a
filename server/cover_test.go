package server_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"culm/agronomy/cover/drawn"
	"culm/demo"
	"culm/notebook"
	"culm/season"
)

// upload is a file in a form.
type upload struct {
	name string
	data []byte
}

// send posts photos as a browser's form does.
func (s site) send(path string, files ...upload) answer {
	s.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for _, f := range files {
		w, err := form.CreateFormFile("photo", f.name)
		if err != nil {
			s.t.Fatal(err)
		}
		if _, err := w.Write(f.data); err != nil {
			s.t.Fatal(err)
		}
	}
	form.Close()
	r, err := http.NewRequest("POST", s.URL+path, &body)
	if err != nil {
		s.t.Fatal(err)
	}
	r.Header.Set("Content-Type", form.FormDataContentType())
	return s.do(r)
}

func asJPEG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 88}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// stubble is a drawn no-till field, another one for each size.
func stubble(t testing.TB, size float64) upload {
	t.Helper()
	d := drawn.Draw(drawn.NoTill(size))
	return upload{"stubble.jpg", asJPEG(t, &image.RGBA{Pix: d.RGBA, Stride: 4 * d.Width, Rect: image.Rect(0, 0, d.Width, d.Height)})}
}

// wall is a picture of nothing that grows.
func wall(t testing.TB, width, height int) upload {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := range m.Pix {
		m.Pix[i] = 200
	}
	m.Set(0, 0, color.Black)
	return upload{"wall.jpg", asJPEG(t, m)}
}

var sharesIn = regexp.MustCompile(`data-(all|share)="(\w+)">([^<]+)<`)

// shares are those that a page shows of all photos, and of each.
func shares(text string) (all map[string]string, each []string) {
	all = map[string]string{}
	for _, m := range sharesIn.FindAllStringSubmatch(text, -1) {
		if m[1] == "all" {
			all[m[2]] = m[3]
		} else {
			each = append(each, m[2]+" "+m[3])
		}
	}
	return all, each
}

func TestPhotosBecomeAVisit(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	form := s.get("/fields/mill-quarter/cover")
	checkPage(t, "cover", form, http.StatusOK)
	if !strings.Contains(form.text, "Photos are not kept") {
		t.Error("the page does not say that photos are not kept")
	}

	seen := s.send("/fields/mill-quarter/cover", stubble(t, 1.6), stubble(t, 1.9))
	checkPage(t, "look", seen, http.StatusOK)
	at := seen.Request.URL.Path
	first, each := shares(seen.text)
	if len(each) != 6 || first["residue"] == "" {
		t.Fatalf("shares %v, of each photo %v", first, each)
	}
	if picture := s.get(at + "/1.jpg"); picture.Header.Get("Content-Type") != "image/jpeg" || bytes.Contains([]byte(picture.text), []byte("Exif")) {
		t.Error("the picture is none, or carries what the camera wrote")
	}

	var words []string
	for row := 1; row <= 12; row++ {
		for column := 'A'; column <= 'Z'; column++ {
			words = append(words, fmt.Sprintf("%c%d:soil", column, row))
		}
	}
	told := s.post(at, url.Values{"do": {"tell"}, "told-1": {strings.Join(words, " ")}, "patch-1": {"aa1"}, "class-1": {"soil"}})
	checkPage(t, "told", told, http.StatusOK)
	if !strings.Contains(told.text, `value="`+strings.Join(words, " ")+` AA1:soil"`) {
		t.Error("what was told is not on the page")
	}
	if _, after := shares(told.text); after[0] == each[0] && after[1] == each[1] && after[2] == each[2] {
		t.Error("what was told changed no share")
	}

	kept := s.post(at, url.Values{"do": {"keep"}, "by": {"H. Sorrel"}, "day": {"2027-02-09"}, "told-1": {"A1:soil"}})
	checkPage(t, "kept", kept, http.StatusOK)
	if !strings.Contains(kept.text, "Written down.") {
		t.Error("the page does not say that it was written down")
	}
	again := s.post(at, url.Values{"do": {"keep"}, "by": {"H. Sorrel"}, "day": {"2027-02-09"}})
	checkPage(t, "sent twice", again, http.StatusOK)

	all, _ := shares(kept.text)
	working := s.get("/fields/mill-quarter/working").text
	if !strings.Contains(working, "2 photos taken straight down") {
		t.Errorf("no working of the plan rests on the photos, which show %v", all)
	}
}

func TestNotEveryFileIsAPhotoOfAField(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	heic := append([]byte{0, 0, 0, 24}, "ftypheic\x00\x00\x00\x00mif1heic"...)
	for name, c := range map[string]struct {
		file   upload
		status int
		want   string
	}{
		"text":      {upload{"notes.jpg", []byte("hello")}, http.StatusUnprocessableEntity, "it is not a photo"},
		"empty":     {upload{"empty.jpg", nil}, http.StatusUnprocessableEntity, "the file is empty"},
		"HEIC":      {upload{"IMG.HEIC", heic}, http.StatusUnprocessableEntity, "HEIC cannot be read here"},
		"cut off":   {upload{"half.jpg", stubble(t, 1).data[:2000]}, http.StatusUnprocessableEntity, "damaged or cut off"},
		"indoors":   {wall(t, 800, 600), http.StatusOK, "does not look like a crop from above"},
		"panorama":  {wall(t, 1800, 400), http.StatusOK, "like a panorama"},
		"hostile":   {upload{`<img src=x onerror=alert(1)>.jpg`, []byte("x")}, http.StatusUnprocessableEntity, "&lt;img src=x"},
		"no photos": {upload{"", nil}, http.StatusUnprocessableEntity, "No photo was chosen"},
	} {
		t.Run(name, func(t *testing.T) {
			a := s.send("/fields/mill-quarter/cover", c.file)
			checkPage(t, name, a, c.status)
			if !strings.Contains(a.text, c.want) {
				t.Errorf("the page does not say %q", c.want)
			}
			if strings.Contains(a.text, "<img src=x") {
				t.Error("a name got into the page as it came")
			}
		})
	}
}

func TestWhatIsToldOfPhotosIsLookedAt(t *testing.T) {
	s := serve(t, demo.Season(demo.Cast, 1))
	at := s.send("/fields/mill-quarter/cover", stubble(t, 1.6)).Request.URL.Path
	for name, c := range map[string]struct {
		path   string
		form   url.Values
		status int
	}{
		"a patch off the photo":  {at, url.Values{"told-1": {"ZZ99:soil"}}, http.StatusBadRequest},
		"a class there is not":   {at, url.Values{"told-1": {"A1:gravel"}}, http.StatusBadRequest},
		"nobody":                 {at, url.Values{"do": {"keep"}, "day": {"2027-02-09"}}, http.StatusBadRequest},
		"a day to come":          {at, url.Values{"do": {"keep"}, "by": {"x"}, "day": {"2027-03-09"}}, http.StatusBadRequest},
		"no day":                 {at, url.Values{"do": {"keep"}, "by": {"x"}, "day": {"soon"}}, http.StatusBadRequest},
		"another field's photos": {strings.Replace(at, "mill-quarter", "red-gate-eighty", 1), url.Values{}, http.StatusNotFound},
		"photos that are gone":   {"/fields/mill-quarter/cover/nothing", url.Values{}, http.StatusNotFound},
		"no field":               {"/fields/nowhere/cover/nothing", url.Values{}, http.StatusNotFound},
	} {
		t.Run(name, func(t *testing.T) { checkPage(t, name, s.post(c.path, c.form), c.status) })
	}
	checkPage(t, "photo 9", s.get(at+"/9.jpg"), http.StatusNotFound)
	if a := s.send("/fields/nowhere/cover", stubble(t, 1)); a.StatusCode != http.StatusNotFound {
		t.Errorf("photos of no field: status %d", a.StatusCode)
	}
	r, _ := http.NewRequest("POST", s.URL+at, strings.NewReader("do=keep&by=x&day=2027-02-09"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if a := s.do(r); a.StatusCode != http.StatusForbidden {
		t.Errorf("another site could write: status %d", a.StatusCode)
	}
}

// listening is a notebook that remembers what was last written.
type listening struct {
	*notebook.Notebook
	last season.Entry
}

func (l *listening) Append(ctx context.Context, entries ...season.Entry) (notebook.Receipt, error) {
	l.last = entries[len(entries)-1]
	return l.Notebook.Append(ctx, entries...)
}

// What else was noted on the same day by the same person stands.
func TestPhotosKeepTheRestOfAVisit(t *testing.T) {
	entries := demo.Season(demo.Cast, 1)
	day := demo.Today().Add(-1)
	noted := &season.Visit{Field: "mill-quarter", Day: day, Observer: "H. Sorrel", Scale: season.Feekes, Stage: 5, Note: "Greening up."}
	entries = append(entries, season.Entry{ID: "walk", Observed: day, Recorded: day.Time(), Writer: "H. Sorrel", Body: noted})
	s, book := serveBook(t, entries)
	at := s.send("/fields/mill-quarter/cover", stubble(t, 1.6)).Request.URL.Path
	checkPage(t, "kept", s.post(at, url.Values{"do": {"keep"}, "by": {"H. Sorrel"}, "day": {day.String()}}), http.StatusOK)
	got, ok := book.last.Body.(*season.Visit)
	if !ok || got.Scale != season.Feekes || got.Stage != 5 || got.Note != "Greening up." {
		t.Errorf("written: %+v", book.last.Body)
	}
	if ok && (!got.Residue.Known() || got.Residue.Origin.By != "H. Sorrel" || !strings.Contains(got.Residue.Origin.With, "1 photo taken straight down, ")) {
		t.Errorf("residue: %+v", got.Residue)
	}
}
