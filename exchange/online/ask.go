package online

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// again is a failure after which asking again may help; after says how long the service wants to be left
// alone, zero when it does not say.
type again struct {
	err   error
	after time.Duration
}

func (a again) Error() string { return a.err.Error() }
func (a again) Unwrap() error { return a.err }

// ask asks the network, a few times if need be, each time after a longer and less predictable wait.
func (f *Fetcher) ask(ctx context.Context, r Request, kept reply) (reply, error) {
	pause := firstWait
	for try := 1; ; try++ {
		got, err := f.askOnce(ctx, r, kept)
		var worthIt again
		if err == nil || !errors.As(err, &worthIt) {
			return got, err
		}
		if worthIt.after > longestAsked {
			return reply{}, fmt.Errorf("%w; it asks to be left alone for %s", err, spoken(worthIt.after))
		}
		if try == tries {
			return reply{}, fmt.Errorf("%w, %d times", err, tries)
		}
		// Between half the pause and the whole, so that many who failed together do not come back together.
		next := max(worthIt.after, time.Duration(float64(pause)*(0.5+0.5*f.o.Random())))
		if err := f.o.Wait(ctx, next); err != nil {
			return reply{}, err
		}
		pause = min(2*pause, longestWait)
	}
}

func (f *Fetcher) askOnce(ctx context.Context, r Request, kept reply) (reply, error) {
	ctx, cancel := context.WithTimeout(ctx, f.o.Timeout)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, r.URL, nil)
	if err != nil {
		return reply{}, err
	}
	req.Header.Set("User-Agent", f.o.Agent+" ("+f.o.Contact+")")
	req.Header.Set("Accept", r.Accept)
	if kept.ETag != "" {
		req.Header.Set("If-None-Match", kept.ETag)
	}
	if kept.Modified != "" {
		req.Header.Set("If-Modified-Since", kept.Modified)
	}
	response, err := f.client.Do(req)
	if err != nil {
		return reply{}, f.inWords(err)
	}
	defer func() { _ = response.Body.Close() }() // it was read to its end or is of no more use
	return f.receive(response, r, kept)
}

// receive reads a response and judges it.
func (f *Fetcher) receive(response *http.Response, r Request, kept reply) (reply, error) {
	now := f.o.Now()
	status := response.StatusCode
	if status == http.StatusNotModified && kept.URL != "" {
		kept.Fetched, kept.FreshUntil = now, freshUntil(response.Header, now)
		return kept, nil
	}
	if response.ContentLength > mostBytes {
		return reply{}, fmt.Errorf("the reply has %d MB; expected at most %d", response.ContentLength>>20, mostBytes>>20)
	}
	body, err := io.ReadAll(io.LimitReader(response.Body, mostBytes+1))
	switch {
	case err != nil:
		return reply{}, f.inWords(err)
	case len(body) > mostBytes:
		return reply{}, fmt.Errorf("the reply does not end after %d MB", mostBytes>>20)
	case status == http.StatusTooManyRequests || status >= 500:
		return reply{}, again{fmt.Errorf("the service answers %s%s", response.Status, detail(body)), retryAfter(response.Header, now)}
	case status != http.StatusOK:
		return reply{}, fmt.Errorf("the service answers %s%s", response.Status, detail(body))
	case isPage(response.Header, body):
		return reply{}, errors.New("a web page came where data was expected; something between here and the service answers in its place, such as a sign-in page of the network")
	}
	if err := r.Check(body); err != nil {
		return reply{}, err
	}
	return reply{
		head: head{
			Format: cacheFormat, URL: r.URL, ETag: response.Header.Get("ETag"), Modified: response.Header.Get("Last-Modified"),
			Fetched: now, FreshUntil: freshUntil(response.Header, now),
		},
		body: body,
	}, nil
}

// inWords says in plain words why nothing came, and whether to ask again.
func (f *Fetcher) inWords(err error) error {
	var refused *net.OpError
	var timeout net.Error
	switch {
	case errors.As(err, &timeout) && timeout.Timeout() || errors.Is(err, context.DeadlineExceeded):
		return again{fmt.Errorf("the service does not answer within %s", f.o.Timeout), 0}
	case errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &refused) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
		return again{errors.New("the service cannot be reached"), 0}
	default:
		return errors.New(clip(lastCause(err).Error()))
	}
}

// lastCause leaves out the address that net/http puts before the reason.
func lastCause(err error) error {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err
		}
		err = inner
	}
}

// isPage says that a body is a page for people.
func isPage(h http.Header, body []byte) bool {
	return strings.Contains(strings.ToLower(h.Get("Content-Type")), "html") || bytes.HasPrefix(bytes.TrimSpace(body), []byte("<"))
}

// detail is what the service says went wrong, where it says so as problem details in JSON.
func detail(body []byte) string {
	var problem struct {
		Title  string `json:"title"`
		Detail string `json:"detail"`
	}
	if json.Unmarshal(body, &problem) != nil || problem.Title+problem.Detail == "" {
		return ""
	}
	return ": " + clip(strings.TrimSpace(problem.Title+". "+problem.Detail))
}

// retryAfter is how long the service wants to be left alone: seconds or a moment.
func retryAfter(h http.Header, now time.Time) time.Duration {
	text := h.Get("Retry-After")
	if seconds, err := strconv.Atoi(text); err == nil && seconds > 0 {
		return time.Duration(min(seconds, 86400)) * time.Second
	}
	if at, err := http.ParseTime(text); err == nil && at.After(now) {
		return at.Sub(now)
	}
	return 0
}

// longestFresh bounds how long a copy is handed on without asking, whatever the service allows.
const longestFresh = 24 * time.Hour

// freshUntil is until when a copy may be handed on without asking: Cache-Control's max-age, or Expires.
func freshUntil(h http.Header, now time.Time) time.Time {
	for part := range strings.SplitSeq(strings.ToLower(h.Get("Cache-Control")), ",") {
		part = strings.TrimSpace(part)
		if part == "no-cache" || part == "no-store" {
			return now
		}
		if text, ok := strings.CutPrefix(part, "max-age="); ok {
			seconds, err := strconv.Atoi(text)
			if err != nil || seconds < 0 {
				return now
			}
			return now.Add(min(time.Duration(min(seconds, 1<<30))*time.Second, longestFresh))
		}
	}
	if at, err := http.ParseTime(h.Get("Expires")); err == nil && at.After(now) {
		return now.Add(min(at.Sub(now), longestFresh))
	}
	return now
}
