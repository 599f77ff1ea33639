package server

import (
	"context"
	"errors"
	"log/slog"
	"strings"
	"testing"

	"lowslung/store"
)

// Every code of the store has a status that a client can act on, the public message goes out, the cause goes to the log alone.
func TestProblems(t *testing.T) {
	const secret = "disk I/O error at sector 7"
	for code, status := range map[store.Code]int{
		store.NotFound: 404, store.Exists: 409, store.InUse: 409, store.NothingLeft: 409, store.Conflict: 412, store.TooLarge: 413,
		store.Mistakes: 422, store.BadName: 422, store.BadFile: 422, store.Busy: 503, store.ReadOnly: 503, store.DiskFull: 507,
		store.Damaged: 500, store.Unexpected: 500, store.NotWorkshop: 500,
	} {
		log := &lines{}
		s := &Server{log: slog.New(slog.NewTextHandler(log, nil))}
		err := s.wrong(context.Background(), &store.Error{Code: code, Text: "what the builder should know", Cause: errors.New(secret)})
		var p *Problem
		if !errors.As(err, &p) || p.Status != status || p.Detail != "what the builder should know" || p.Title == "" || p.Code != string(code) {
			t.Errorf("%s: found %+v, expected status %d", code, err, status)
		}
		if strings.Contains(p.Detail+p.Title, secret) {
			t.Errorf("%s: the cause went out", code)
		}
		if logged := strings.Contains(log.String(), secret); logged != (status >= 500) {
			t.Errorf("%s: logged %v", code, logged)
		}
	}
	log := &lines{}
	s := &Server{log: slog.New(slog.NewTextHandler(log, nil))}
	err := s.wrong(context.Background(), errors.New(secret))
	if p, ok := err.(*Problem); !ok || p.Status != 500 || strings.Contains(p.Detail, secret) || !strings.Contains(log.String(), secret) {
		t.Errorf("found %+v and log %q", err, log)
	}
	if s.wrong(context.Background(), nil) != nil {
		t.Error("nothing wrong became a problem")
	}
}
