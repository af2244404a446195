package demo

import (
	"sync"
	"time"
)

// Clock is a clock that can be set: the studio's own while the past is made up and while the day's
// sitting is done at speed, then the live one again. It is safe for use by several goroutines.
type Clock struct {
	mu   sync.Mutex
	live func() time.Time
	at   time.Time // zero while it runs live
}

// NewClock returns a clock that shows what live shows until it is set.
func NewClock(live func() time.Time) *Clock { return &Clock{live: live} }

// Now returns the time the clock shows.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.at.IsZero() {
		return c.live()
	}
	return c.at
}

// Set stops the clock at a time.
func (c *Clock) Set(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = at
}

// Release lets the clock run live again.
func (c *Clock) Release() { c.Set(time.Time{}) }
