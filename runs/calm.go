package runs

import (
	"context"
	"log/slog"
	"slices"
	"strings"
)

// calm turns what the queue says of a database that is away into debugging: each of its parts says so with every try, and the book itself says
// it once. The queue logs errors as text.
type calm struct{ slog.Handler }

// away is how pgx and PostgreSQL begin to say so.
var away = []string{"failed to connect to", "conn closed", "unexpected EOF", "(SQLSTATE 57P0", "connection reset", "broken pipe"}

// Handle is part of slog.Handler.
func (c calm) Handle(ctx context.Context, r slog.Record) error {
	r.Attrs(func(a slog.Attr) bool {
		said := a.Value.String()
		if slices.ContainsFunc(away, func(words string) bool { return strings.Contains(said, words) }) {
			r.Level = slog.LevelDebug
		}
		return r.Level != slog.LevelDebug
	})
	if !c.Enabled(ctx, r.Level) {
		return nil
	}
	return c.Handler.Handle(ctx, r)
}

// WithAttrs is part of slog.Handler.
func (c calm) WithAttrs(list []slog.Attr) slog.Handler { return calm{c.Handler.WithAttrs(list)} }

// WithGroup is part of slog.Handler.
func (c calm) WithGroup(name string) slog.Handler { return calm{c.Handler.WithGroup(name)} }
