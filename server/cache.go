package server

import (
	"context"
	"errors"
	"sync"

	"lowslung/check"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/store"
	"lowslung/travel"
)

// mostAsked is the number of rigs whose answers are kept: some hundred kilobytes each.
const mostAsked = 64

// asked is a loaded rig with what has been worked out of it on demand.
type asked struct {
	*store.Loaded

	mu      sync.Mutex // guards the rest
	stand   *travel.Stand
	answers [2]*check.Answer // by unit system
}

// answer is everything that check says, worked out once.
func (a *asked) answer(units quantity.System) (*check.Answer, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.answers[units] == nil {
		all, err := check.Assess(a.Model, check.Options{Units: units})
		if err != nil {
			return nil, err
		}
		a.answers[units] = &all
	}
	return a.answers[units], nil
}

// standing calls fn with the stand, which one caller at a time may move.
func (a *asked) standing(fn func(*travel.Stand) error) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.stand == nil {
		a.stand = travel.StandOf(a.Model)
	}
	return fn(a.stand)
}

// answers keeps, for each file, the rig that was asked last.
type answers struct {
	mu   sync.Mutex
	kept map[string]*asked
}

// of is the one for a loaded rig: the store gives the same one as long as no text of it changes.
func (c *answers) of(l *store.Loaded) *asked {
	c.mu.Lock()
	defer c.mu.Unlock()
	file := l.Build.File
	if a := c.kept[file]; a != nil && a.Loaded == l {
		return a
	}
	for other := range c.kept { // any one: that only costs working its answers out again
		if len(c.kept) < mostAsked {
			break
		}
		delete(c.kept, other)
	}
	a := &asked{Loaded: l}
	c.kept[file] = a
	return a
}

// open finds a rig by its number and loads it. When its text is a rig no more, a is nil without an error, and bad says why.
func (s *Server) open(ctx context.Context, id string) (d store.Document, a *asked, bad rig.Diagnostics, err error) {
	n, err := number(id)
	if err != nil {
		return d, nil, nil, err
	}
	err = s.store.Look(ctx, func(v store.Snapshot) error {
		if d, err = v.Document(n); err != nil {
			return err
		}
		if d.Kind != store.Rig {
			return &store.Error{Code: store.NotFound, Text: "found a bin under this number, expected a rig"}
		}
		a, bad, err = s.ask(v, d.File)
		return err
	})
	return d, a, bad, err
}

func (s *Server) ask(v store.Snapshot, file string) (a *asked, bad rig.Diagnostics, err error) {
	l, err := v.Load(file)
	if errors.As(err, &bad) {
		return nil, bad, nil
	}
	if err != nil {
		return nil, nil, err
	}
	return s.answers.of(l), nil, nil
}

// load is open for questions, which a text that is no rig cannot answer.
func (s *Server) load(ctx context.Context, id string) (*asked, error) {
	_, a, bad, err := s.open(ctx, id)
	if err == nil && len(bad) > 0 {
		err = mistakes(bad, "the saved text does not load with this version of the program. It is kept as it is; change it where the mistakes are")
	}
	if err != nil {
		return nil, s.wrong(ctx, err)
	}
	return a, nil
}
