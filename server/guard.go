package server

import (
	"net"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/klauspost/compress/gzhttp"
)

// policy allows what this server sends itself and nothing else: no script or style inside a page, nothing
// from elsewhere.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// largestForm bounds what a form may send, largestPhotos what one with photos may.
const (
	largestForm   = 64 << 10
	largestPhotos = 160 << 20
)

// largest is what a request may send.
func largest(r *http.Request) int64 {
	if isPhotos(r) {
		return largestPhotos
	}
	return largestForm
}

// guard puts around every answer what keeps it safe and small.
func (s *Server) guard(next http.Handler) http.Handler {
	next = http.NewCrossOriginProtection().Handler(next)
	next = s.ownNames(next)
	inner := next
	next = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache") // plans change with the notebook; assets say otherwise
		r.Body = http.MaxBytesReader(w, r.Body, largest(r))
		inner.ServeHTTP(w, r)
	})
	return gzhttp.GzipHandler(next)
}

// ownNames answers a request that came in on this machine's own address only under this machine's own names
// and those it was told. Otherwise any page open in the same browser could have its own name point here and
// read the season.
func (s *Server) ownNames(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if at, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr); ok && at.IP.IsLoopback() && !s.isOwnName(r.Host) {
			http.Error(w, "This server is not called "+strconv.Quote(r.Host)+".", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (s *Server) isOwnName(host string) bool {
	name := host
	if bare, _, err := net.SplitHostPort(host); err == nil {
		name = bare
	}
	name = strings.Trim(name, "[]")
	if ip := net.ParseIP(name); ip != nil {
		return true // a number is nobody's name
	}
	return name == "localhost" || slices.Contains(s.names, name)
}
