package desk

import (
	"sync"

	"culm/advice"
	"culm/season"
)

// mostSkies bounds how many outlooks are kept: one takes some 0.6 MB and is made again in two milliseconds.
const mostSkies = 128

// Skies makes the outlook of a field's weather once for the fields that share it. It is safe for use by several
// goroutines; its zero value is ready.
type Skies struct {
	mu   sync.Mutex
	made map[advice.Shared]func() *advice.Outlook
}

// Of gives the outlook of a field season.
func (s *Skies) Of(fs season.FieldSeason) *advice.Outlook {
	key := advice.SharedBy(fs)
	s.mu.Lock()
	look, ok := s.made[key]
	if !ok {
		if s.made == nil || len(s.made) >= mostSkies {
			s.made = make(map[advice.Shared]func() *advice.Outlook, mostSkies)
		}
		look = sync.OnceValue(func() *advice.Outlook { return advice.OutlookOf(fs) })
		s.made[key] = look
	}
	s.mu.Unlock()
	return look()
}
