package online

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"strings"
	"time"
)

// Getter gets documents. Fetcher is the one that does it over the network.
type Getter interface {
	// Get gives a document that Check has found good. See Fetcher.Get.
	Get(ctx context.Context, r Request) (Document, error)
}

// Request says what to get.
type Request struct {
	URL    string
	Accept string // the media type to ask for, such as application/geo+json
	// Check says in plain words what is wrong with a body; only what it passes is kept and handed on.
	Check func(body []byte) error
}

// Document is what was got.
type Document struct {
	Body []byte
	// Fetched is when the network gave this body, or last said that it still holds.
	Fetched time.Time
	// Note is one sentence on why a kept copy is handed on and how old it is; empty for a current document.
	Note string
}

// Options say how to fetch. The zero value of each but Contact and Cache means the usual.
type Options struct {
	// Agent names the program and its version, and Contact is an address under which the person who asks can
	// be reached. The US National Weather Service wants both (cite.NWSGridpoints).
	Agent, Contact string
	// Cache is the folder of kept copies; it is made when it is not there.
	Cache string
	// Offline asks the network for nothing.
	Offline bool
	// Transport is how requests go out; nil is http.DefaultTransport.
	Transport http.RoundTripper
	Now       func() time.Time
	// Wait waits, or returns early with an error when the context ends. Random gives 0 to 1.
	Wait   func(ctx context.Context, d time.Duration) error
	Random func() float64
	// Timeout bounds one try, from the first byte sent to the last received: 30 seconds.
	Timeout time.Duration
}

// Limits of politeness and patience.
const (
	tries          = 4
	firstWait      = time.Second
	longestWait    = 20 * time.Second
	longestAsked   = time.Minute // a service that asks for more is not waited for
	usualTimeout   = 30 * time.Second
	mostBytes      = 16 << 20 // a grid forecast has a quarter of a megabyte
	mostRedirects  = 3
	longestMessage = 200
)

// Fetcher gets documents over the network and keeps them.
type Fetcher struct {
	o      Options
	client *http.Client
	cache  cache
}

// New makes a fetcher. It fails without a contact: a service must be able to reach who asks.
func New(o Options) (*Fetcher, error) {
	if strings.TrimSpace(o.Contact) == "" || strings.ContainsAny(o.Contact, "\r\n()") {
		return nil, fmt.Errorf("contact is %q; the weather service wants an address under which whoever asks can be reached, such as a mail address", o.Contact)
	}
	if o.Cache == "" {
		return nil, errors.New("no folder given to keep replies in")
	}
	if o.Agent == "" {
		o.Agent = "culm"
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Wait == nil {
		o.Wait = wait
	}
	if o.Random == nil {
		o.Random = rand.Float64
	}
	if o.Timeout == 0 {
		o.Timeout = usualTimeout
	}
	return &Fetcher{o: o, client: &http.Client{Transport: o.Transport, CheckRedirect: checkRedirect}, cache: cache{o.Cache}}, nil
}

func wait(ctx context.Context, d time.Duration) error {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}

// checkRedirect follows a few redirects within one host, and none to another or out of encryption.
func checkRedirect(next *http.Request, before []*http.Request) error {
	first := before[0].URL
	switch {
	case len(before) > mostRedirects:
		return fmt.Errorf("it redirects more than %d times", mostRedirects)
	case next.URL.Host != first.Host || next.URL.Scheme != first.Scheme:
		return fmt.Errorf("it redirects to another place, %s", clip(next.URL.Scheme+"://"+next.URL.Host))
	}
	return nil
}

// Get gives a document: the kept copy while it is fresh, otherwise what the network says now. Where the
// network gives nothing good, the kept copy is handed on with a note; without one it is an error.
func (f *Fetcher) Get(ctx context.Context, r Request) (Document, error) {
	if err := checkAddress(r.URL); err != nil {
		return Document{}, err
	}
	kept, has := f.cache.read(r.URL)
	if has && r.Check(kept.body) != nil { // kept by another version, or damaged
		has = false
	}
	switch {
	case has && f.o.Now().Before(kept.FreshUntil):
		return Document{Body: kept.body, Fetched: kept.Fetched}, nil
	case has && f.o.Offline:
		return f.handOn(kept, "it was not asked for again"), nil
	case f.o.Offline:
		return Document{}, fmt.Errorf("no copy of %s is kept, and the network is not to be used", clip(r.URL))
	}
	if !has {
		kept = reply{}
	}
	got, err := f.ask(ctx, r, kept)
	switch {
	case err == nil:
		d := Document{Body: got.body, Fetched: got.Fetched}
		if err := f.cache.write(got); err != nil {
			d.Note = "no copy is kept: " + err.Error()
		}
		return d, nil
	case ctx.Err() != nil:
		return Document{}, ctx.Err()
	case has:
		return f.handOn(kept, err.Error()), nil
	default:
		return Document{}, fmt.Errorf("%s: %w", clip(r.URL), err)
	}
}

func (f *Fetcher) handOn(kept reply, why string) Document {
	return Document{
		Body: kept.body, Fetched: kept.Fetched,
		Note: fmt.Sprintf("a copy %s old is used: %s", spoken(f.o.Now().Sub(kept.Fetched)), why),
	}
}

// spoken writes a span of time as people say it.
func spoken(d time.Duration) string {
	count := func(n int, word string) string {
		if n == 1 {
			return "1 " + word
		}
		return fmt.Sprintf("%d %ss", n, word)
	}
	switch {
	case d >= 48*time.Hour:
		return count(int(d.Hours()/24), "day")
	case d >= 2*time.Hour:
		return count(int(d.Hours()), "hour")
	default:
		return count(max(1, int(d.Minutes())), "minute")
	}
}

// checkAddress lets through encrypted addresses, and plain ones only on this machine.
func checkAddress(address string) error {
	u, err := url.Parse(address)
	switch {
	case err != nil || u.Host == "":
		return fmt.Errorf("%q is not an address on the network", clip(address))
	case u.Scheme == "https":
		return nil
	case u.Scheme == "http" && (u.Hostname() == "127.0.0.1" || u.Hostname() == "::1" || u.Hostname() == "localhost"):
		return nil
	default:
		return fmt.Errorf("%q would go over the network unprotected; expected https", clip(address))
	}
}

// clip keeps a hostile text from filling a message, and on one line.
func clip(text string) string {
	text = strings.Join(strings.Fields(strings.ToValidUTF8(text, "\uFFFD")), " ")
	if len(text) > longestMessage {
		text = strings.ToValidUTF8(text[:longestMessage], "") + "…"
	}
	return text
}
