package server

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"culm/server/bookpage"
	"culm/server/page"
	"culm/web"
)

// forGood lets a browser keep a file whose name changes with its contents.
const forGood = "public, max-age=31536000, immutable"

// assets are the browser's files. Their names carry a hash of their contents, so a browser may keep them
// for good.
type assets struct {
	files fs.FS
	names map[string]string // "culm.css" to "culm-1A2B3C.css"
	own   map[string]ownStyle
}

// ownStyle is a style sheet that comes with a package of pages, which can also be written without a server.
type ownStyle struct{ name, text string }

// The names of those style sheets.
const (
	paperStyle = "paper"
	bookStyle  = "rulebook"
)

func ownStyles() map[string]ownStyle {
	all := map[string]ownStyle{}
	for name, text := range map[string]string{paperStyle: page.Style, bookStyle: bookpage.Style} {
		all[name] = ownStyle{name: fmt.Sprintf("%s-%.4x.css", name, sha256.Sum256([]byte(text))), text: text}
	}
	return all
}

// readAssets reads what was built into the program. Without the browser's part there is nothing to serve
// and pages say so.
func readAssets() (assets, error) {
	files, err := fs.Sub(web.Dist, "dist")
	if err != nil {
		return assets{}, err
	}
	text, err := fs.ReadFile(files, "manifest.json")
	a := assets{files: files, own: ownStyles()}
	if errors.Is(err, fs.ErrNotExist) {
		return a, nil
	}
	if err != nil {
		return assets{}, err
	}
	if err := json.Unmarshal(text, &a.names); err != nil {
		return assets{}, fmt.Errorf("reading the list of the browser's files: %w", err)
	}
	return a, nil
}

func (a assets) has(name string) bool { return a.names[name] != "" }

// address is where a file is served; empty when it was not built.
func (a assets) address(name string) string {
	if !a.has(name) {
		return ""
	}
	return "/assets/" + a.names[name]
}

// ownAddress is where a style sheet of a package of pages is served.
func (a assets) ownAddress(name string) string { return "/assets/" + a.own[name].name }

// paperStyles are the addresses of the producer's page's style sheets.
func (a assets) paperStyles() []string {
	styles := []string{a.ownAddress(paperStyle)}
	if a.has("type.css") {
		styles = append(styles, a.address("type.css"))
	}
	return styles
}

// ServeHTTP serves the files that are on the list, and no others.
func (a assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name := path.Base(r.URL.Path)
	for _, style := range a.own {
		if name == style.name {
			w.Header().Set("Cache-Control", forGood)
			http.ServeContent(w, r, name, time.Time{}, strings.NewReader(style.text))
			return
		}
	}
	for _, known := range a.names {
		if known == name {
			w.Header().Set("Cache-Control", forGood)
			http.ServeFileFS(w, r, a.files, known)
			return
		}
	}
	http.NotFound(w, r)
}
