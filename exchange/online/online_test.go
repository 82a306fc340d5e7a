package online_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/exchange/online"
	"culm/internal/opendata"
	"culm/season"
)

// bench is a fetcher on a clock of its own, with a service that answers on this machine only.
type bench struct {
	server *httptest.Server
	asked  []*http.Request
	waits  []time.Duration
	now    time.Time
	dir    string
	o      online.Options
}

func newBench(t *testing.T, answer http.HandlerFunc) *bench {
	t.Helper()
	b := &bench{now: time.Date(2027, 2, 10, 12, 0, 0, 0, time.UTC), dir: t.TempDir()}
	b.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		b.asked = append(b.asked, r)
		answer(w, r)
	}))
	t.Cleanup(b.server.Close)
	b.o = online.Options{
		Agent: "culm/test", Contact: "advisor@example.org", Cache: b.dir, Now: func() time.Time { return b.now },
		Wait: func(_ context.Context, d time.Duration) error {
			b.waits = append(b.waits, d)
			b.now = b.now.Add(d)
			return nil
		},
		Random: func() float64 { return 0 }, Timeout: 2 * time.Second,
	}
	return b
}

func (b *bench) fetcher(t *testing.T) *online.Fetcher {
	t.Helper()
	f, err := online.New(b.o)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func (b *bench) get(t *testing.T) (online.Document, error) {
	t.Helper()
	return b.fetcher(t).Get(t.Context(), online.Request{URL: b.server.URL + "/data", Accept: "application/geo+json", Check: isGood})
}

func isGood(body []byte) error {
	if !bytes.HasPrefix(body, []byte(`{"good"`)) {
		return fmt.Errorf("this is JSON of another kind: %s", body)
	}
	return nil
}

const good = `{"good":true}`

func TestWhoAsksIsSaid(t *testing.T) {
	b := newBench(t, func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, good) })
	d, err := b.get(t)
	if err != nil || string(d.Body) != good || d.Note != "" {
		t.Fatal(d, err)
	}
	h := b.asked[0].Header
	if h.Get("User-Agent") != "culm/test (advisor@example.org)" || h.Get("Accept") != "application/geo+json" {
		t.Errorf("asked with %v", h)
	}
	for _, contact := range []string{"", "  ", "a\r\nHost: b", "a) (b"} {
		if _, err := online.New(online.Options{Contact: contact, Cache: b.dir}); err == nil {
			t.Errorf("contact %q passes", contact)
		}
	}
}

func TestACopyIsKeptWhileItIsFreshAndThenAskedForAgain(t *testing.T) {
	body, notModified := good, false
	b := newBench(t, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("ETag", `"one"`)
		w.Header().Set("Last-Modified", "Wed, 10 Feb 2027 11:00:00 GMT")
		w.Header().Set("Cache-Control", "public, max-age=600, s-maxage=120")
		if notModified = r.Header.Get("If-None-Match") == `"one"` && r.Header.Get("If-Modified-Since") != ""; notModified {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		io.WriteString(w, body)
	})
	for _, step := range []struct {
		name  string
		later time.Duration
		asked int
	}{
		{"first", 0, 1},
		{"nine minutes later", 9 * time.Minute, 1},
		{"another two", 2 * time.Minute, 2},
		{"nine more", 9 * time.Minute, 2},
	} {
		b.now = b.now.Add(step.later)
		d, err := b.get(t)
		if err != nil || string(d.Body) != good || d.Note != "" || len(b.asked) != step.asked {
			t.Errorf("%s: %+v, %v, asked %d times, want %d", step.name, d, err, len(b.asked), step.asked)
		}
	}
	if !notModified {
		t.Error("the second time it was not asked with conditions")
	}
}

func TestWaitsBetweenTries(t *testing.T) {
	for _, row := range []struct {
		name   string
		status []int // of each answer; 200 is good
		after  string
		waits  []time.Duration
		says   string
	}{
		{"once busy", []int{503, 200}, "", []time.Duration{500 * time.Millisecond}, ""},
		{"three times busy", []int{503, 502, 429, 200}, "", []time.Duration{500 * time.Millisecond, time.Second, 2 * time.Second}, ""},
		{"always busy", []int{500, 500, 500, 500}, "", []time.Duration{500 * time.Millisecond, time.Second, 2 * time.Second}, "500 Internal Server Error: Oops. Too many, 4 times"},
		{"asks for half a minute", []int{429, 200}, "30", []time.Duration{30 * time.Second}, ""},
		{"asks for a moment", []int{429, 200}, "Wed, 10 Feb 2027 12:00:20 GMT", []time.Duration{20 * time.Second}, ""},
		{"asks for an hour", []int{429}, "3600", nil, "left alone for 60 minutes"},
		{"not there", []int{404}, "", nil, "404 Not Found: Oops. Too many"},
		{"forbidden", []int{403}, "", nil, "403"},
	} {
		t.Run(row.name, func(t *testing.T) {
			next := 0
			b := newBench(t, func(w http.ResponseWriter, _ *http.Request) {
				status := row.status[next]
				next++
				if row.after != "" {
					w.Header().Set("Retry-After", row.after)
				}
				w.WriteHeader(status)
				if status == 200 {
					io.WriteString(w, good)
				} else {
					io.WriteString(w, `{"title":"Oops","detail":"Too many"}`)
				}
			})
			_, err := b.get(t)
			if (row.says == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), row.says) {
				t.Errorf("%v, want %q", err, row.says)
			}
			if !slices.Equal(b.waits, row.waits) || next != len(row.status) {
				t.Errorf("waited %v after %d tries, want %v", b.waits, next, row.waits)
			}
		})
	}
}

// Whatever comes instead of the data is refused in plain words, is not kept, and does not displace the copy.
func TestWhatIsRefused(t *testing.T) {
	for _, row := range []struct {
		name   string
		answer http.HandlerFunc
		says   string
	}{
		{"a web page", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html")
			io.WriteString(w, "<!doctype html><title>Sign in</title>")
		}, "a web page came"},
		{"a page that says it is JSON", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "application/json")
			io.WriteString(w, "\n <html>")
		}, "a web page came"},
		{"JSON of another kind", func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, `{"bad":1}`) }, "another kind"},
		{"an endless reply", func(w http.ResponseWriter, _ *http.Request) {
			chunk := bytes.Repeat([]byte("x"), 1<<20)
			for range 20 {
				if _, err := w.Write(chunk); err != nil {
					return
				}
			}
		}, "does not end after 16 MB"},
		{"a reply said to be large", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "99000000")
			w.WriteHeader(200)
		}, "94 MB"},
		{"around in circles", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, r.URL.Path+"x", http.StatusFound) }, "redirects more than 3 times"},
		{"to another host", func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "http://192.0.2.1/", http.StatusFound)
		}, "redirects to another place"},
		{"cut off", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "100")
			io.WriteString(w, `{"good"`)
		}, "cannot be reached, 4 times"},
	} {
		t.Run(row.name, func(t *testing.T) {
			first := true
			b := newBench(t, func(w http.ResponseWriter, r *http.Request) {
				if first {
					io.WriteString(w, good)
					return
				}
				row.answer(w, r)
			})
			if _, err := b.get(t); err != nil {
				t.Fatal(err)
			}
			first = false
			b.now = b.now.Add(5 * time.Hour)
			d, err := b.get(t)
			if err != nil || string(d.Body) != good || !strings.Contains(d.Note, row.says) || !strings.Contains(d.Note, "a copy 5 hours old is used") {
				t.Errorf("with a copy: %+v, %v", d, err)
			}
			b.o.Cache = t.TempDir()
			if d, err := b.get(t); err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("without a copy: %+v, %v", d, err)
			}
		})
	}
}

func TestAServiceThatHangs(t *testing.T) {
	release := make(chan struct{})
	b := newBench(t, func(http.ResponseWriter, *http.Request) { <-release })
	defer close(release)
	b.o.Timeout = 20 * time.Millisecond
	if _, err := b.get(t); err == nil || !strings.Contains(err.Error(), "does not answer within 20ms, 4 times") {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := b.fetcher(t).Get(ctx, online.Request{URL: b.server.URL, Check: isGood}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestNoNetwork(t *testing.T) {
	b := newBench(t, func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, good) })
	b.o.Offline = true
	if _, err := b.get(t); err == nil || !strings.Contains(err.Error(), "no copy") || len(b.asked) != 0 {
		t.Errorf("%v, asked %d times", err, len(b.asked))
	}
	b.o.Offline = false
	if _, err := b.get(t); err != nil {
		t.Fatal(err)
	}
	b.server.Close()
	b.now = b.now.Add(50 * time.Hour)
	for _, offline := range []bool{true, false} {
		b.o.Offline = offline
		d, err := b.get(t)
		if err != nil || !strings.Contains(d.Note, "a copy 2 days old is used") {
			t.Errorf("offline %v: %+v, %v", offline, d, err)
		}
	}
}

// A kept copy that was damaged counts as none.
func TestADamagedCopyIsNotUsed(t *testing.T) {
	b := newBench(t, func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Cache-Control", "max-age=600")
		io.WriteString(w, good)
	})
	if _, err := b.get(t); err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob(filepath.Join(b.dir, "*"))
	if len(files) != 1 {
		t.Fatalf("%v", files)
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	for name, damaged := range map[string][]byte{"cut": data[:len(data)-3], "changed": bytes.Replace(data, []byte("true"), []byte("TRUE"), 1), "empty": nil} {
		if err := os.WriteFile(files[0], damaged, 0o600); err != nil {
			t.Fatal(err)
		}
		before := len(b.asked)
		if d, err := b.get(t); err != nil || string(d.Body) != good || len(b.asked) != before+1 {
			t.Errorf("%s: %+v, %v", name, d, err)
		}
	}
}

func TestAddresses(t *testing.T) {
	b := newBench(t, nil)
	for address, fine := range map[string]bool{"http://example.org/": false, "ftp://example.org/": false, "example.org": false, ":": false, "file:///etc/passwd": false} {
		_, err := b.fetcher(t).Get(t.Context(), online.Request{URL: address, Check: isGood})
		if (err == nil) != fine {
			t.Errorf("%s: %v", address, err)
		}
	}
}

// service answers as the weather service does, with replies recorded from it.
func service(t *testing.T, point, grid string) http.HandlerFunc {
	read := func(name string) []byte {
		data, err := os.ReadFile(opendata.Path(t, name))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	points, gridpoint := read(point), read(grid)
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/geo+json")
		switch r.URL.Path {
		case "/points/30,-85":
			w.Write(points)
		case "/gridpoints/TAE/58,65":
			w.Write(gridpoint)
		default:
			w.WriteHeader(http.StatusNotFound)
			io.WriteString(w, `{"title":"Data Unavailable For Requested Point","detail":"Unable to provide data"}`)
		}
	}
}

// The replies recorded for 30 north, 85 west: grid TAE 58,65, issued on 4 February 2022 at 03:15:41.
func TestRecordedReplies(t *testing.T) {
	b := newBench(t, service(t, "fc_nws_library_fixtures/points.json", "fc_nws_library_fixtures/detailed_forecast.json"))
	b.now = time.Date(2022, 2, 4, 9, 0, 0, 0, time.UTC)
	service := online.NWS{Base: b.server.URL + "/", Get: b.fetcher(t), Now: b.o.Now}
	at := season.Position{Lon: -85.00001, Lat: 30}
	g, err := service.Forecast(t.Context(), at)
	if err != nil {
		t.Fatal(err)
	}
	if g.Issued.UTC().Format(time.RFC3339) != "2022-02-04T03:15:41Z" || !strings.Contains(g.By, "TAE 58,65") || len(g.Body) < 100_000 {
		t.Errorf("issued %v by %s, zone %s, %d bytes", g.Issued, g.By, g.Zone, len(g.Body))
	}

	b.server.Close()
	b.now = b.now.Add(2 * 24 * time.Hour)
	if g, err = service.Forecast(t.Context(), at); err != nil || !strings.Contains(g.Note, "a copy 2 days old is used") {
		t.Errorf("two days later without network: %q, %v", g.Note, err)
	}
	b.now = b.now.Add(24 * time.Hour)
	if _, err = service.Forecast(t.Context(), at); !errors.Is(err, online.ErrExpired) {
		t.Errorf("three days later: %v", err)
	}
}

func TestOutsideTheService(t *testing.T) {
	b := newBench(t, service(t, "fc_nws_library_fixtures/points.json", "fc_nws_library_fixtures/detailed_forecast.json"))
	_, err := online.NWS{Base: b.server.URL, Get: b.fetcher(t), Now: b.o.Now}.Forecast(t.Context(), season.Position{Lon: 10.9, Lat: 48.4})
	if err == nil || !strings.Contains(err.Error(), "Data Unavailable For Requested Point") {
		t.Error(err)
	}
}

// The forecast in words is JSON and from the service, and still not what is wanted. A square that is none is
// not asked for.
func TestAnotherKindOfReply(t *testing.T) {
	words := newBench(t, service(t, "fc_nws_library_fixtures/points.json", "fc_nws_library_fixtures/gridpoints_forecast_us.json"))
	_, err := online.NWS{Base: words.server.URL, Get: words.fetcher(t), Now: words.o.Now}.Forecast(t.Context(), season.Position{Lon: -85, Lat: 30})
	if err == nil || !strings.Contains(err.Error(), "forecast in words") {
		t.Error(err)
	}
	for name, reply := range map[string]string{
		"no square":   `{"properties":{}}`,
		"a path":      `{"properties":{"gridId":"../","gridX":1,"gridY":2}}`,
		"not numbers": `{"properties":{"gridId":"TAE","gridX":"a","gridY":2}}`,
		"far off":     `{"properties":{"gridId":"TAE","gridX":-5,"gridY":2}}`,
		"no JSON":     `hello`,
	} {
		b := newBench(t, func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, reply) })
		_, err := online.NWS{Base: b.server.URL, Get: b.fetcher(t), Now: b.o.Now}.Forecast(t.Context(), season.Position{Lon: -85, Lat: 30})
		if err == nil || len(b.asked) != 1 || b.asked[0].URL.Path != "/points/30,-85" {
			t.Errorf("%s: %v, asked %d times", name, err, len(b.asked))
		}
	}
}
