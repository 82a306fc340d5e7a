package response_test

import (
	"testing"

	"culm/agronomy/response"
)

// The trial of 44 plots at 11 rates. A fit is meant to stay well under a millisecond, so that a bootstrap
// of a thousand stays well under a second.
func BenchmarkFit(b *testing.B) {
	plots := lowZone()
	for _, form := range response.Forms() {
		b.Run(string(form), func(b *testing.B) {
			for b.Loop() {
				if _, err := response.Fit(form, plots); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkLimits(b *testing.B) {
	plots := lowZone()
	b.Run("Fieller", func(b *testing.B) {
		for b.Loop() {
			_, _ = response.Fieller(plots, bachmaierRatio, 0.9)
		}
	})
	for _, form := range response.Forms() {
		b.Run("profile/"+string(form), func(b *testing.B) {
			for b.Loop() {
				_, _ = response.Profile(form, plots, bachmaierRatio, 0.9)
			}
		})
		b.Run("bootstrap/"+string(form), func(b *testing.B) {
			for b.Loop() {
				_, _ = response.Bootstrap(form, plots, bachmaierRatio, 0.9, response.Resampling{Draws: 1000})
			}
		})
	}
}
