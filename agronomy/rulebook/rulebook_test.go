package rulebook_test

import (
	"culm/agronomy/rulebook"
	"testing"
)

func TestShipped(t *testing.T) {
	bs, err := rulebook.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range bs {
		t.Log(b.Key, b.Family())
		w := b.Work(b.Inputs(b.Examples[0].Given))
		t.Logf("%+v", w.Expression)
		t.Log(w.Rate, w.Low, w.High, w.HasRange, w.Status, w.Assumed, w.Notes)
	}
}
