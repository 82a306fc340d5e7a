// Package cover measures what covers the ground of a field: green leaves, residue of the last crop, or
// nothing. It counts hits on a line, reckons the cover of a mass of residue, and tells the three apart in a
// photo taken straight down.
//
// Green is told from the rest by published colour indices and by an index of our own that starts from the
// colour of the ground in the same photo. Residue is told from soil by a rule of our own that nothing could be
// held against but constructed pictures, and has a wide interval for it. docs/cover.md shows how far either
// can be trusted. What a person says about a patch of the photo stands above both.
//
// The package takes pixels, not files.
package cover
