package server

import (
	"net/http"

	"github.com/klauspost/compress/gzhttp"
)

// policy allows what this server sends itself and nothing else: no script or style inside a page, nothing
// from elsewhere.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// largestForm bounds what a form may send.
const largestForm = 64 << 10

// guard puts around every answer what keeps it safe and small.
func (s *Server) guard(next http.Handler) http.Handler {
	next = http.NewCrossOriginProtection().Handler(next)
	inner := next
	next = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache") // plans change with the notebook; assets say otherwise
		r.Body = http.MaxBytesReader(w, r.Body, largestForm)
		inner.ServeHTTP(w, r)
	})
	return gzhttp.GzipHandler(next)
}
