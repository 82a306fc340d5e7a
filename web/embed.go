// Package web holds the browser's part of Culm as it was built: styles, type and small scripts. Its source is
// beside this file; make web builds it into dist.
package web

import "embed"

// Dist holds the folder dist. When the browser's part was not built it holds nothing of use.
//
//go:embed all:dist
var Dist embed.FS
