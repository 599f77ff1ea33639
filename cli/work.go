package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"lowslung/runs"
)

// searchesEnv names the database of searches where a password should not stand on the command line, which every user of the machine can read.
const searchesEnv = "LOWSLUNG_SEARCHES"

// shared is the flag of a database of searches.
type shared struct{ text string }

func (s *shared) flag(c *cobra.Command, usual string) {
	c.Flags().StringVar(&s.text, "searches", "", "PostgreSQL database that searches are kept in, postgres://user@host:5432/database; "+searchesEnv+" when left out, and "+usual+" without that")
}

// address is the database that is named; nil when none is.
func (s *shared) address() (*runs.Address, error) {
	text, from := s.text, "searches"
	if text == "" {
		if text, from = os.Getenv(searchesEnv), searchesEnv; text == "" {
			return nil, nil
		}
	}
	a, err := runs.ParseAddress(text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", from, err)
	}
	return a, nil
}

func newWork() *cobra.Command {
	var s shared
	processors := 0
	verbose := false
	c := &cobra.Command{
		Use:   "work",
		Short: "Work on searches that workbenches of this and other machines put into a shared database",
		Long: "Takes up searches that workbenches started with --searches put into the same database, one at a time, until Ctrl-C. It needs the\n" +
			"database and nothing else: documents, bins and options come with each search. A search that it lets go of is gone on with by another\n" +
			"worker, from where it was.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if processors < 1 && c.Flags().Changed("processors") {
				return fmt.Errorf("processors: found %d, expected 1 or more", processors)
			}
			a, err := s.address()
			if err != nil {
				return err
			}
			if a == nil {
				return errors.New("searches: found no database, expected --searches or " + searchesEnv + " with an address such as postgres://club@host:5432/searches")
			}
			level := slog.LevelWarn
			if verbose {
				level = slog.LevelDebug
			}
			return work(background(c), a, processors, c.OutOrStdout(), slog.New(slog.NewTextHandler(c.ErrOrStderr(), &slog.HandlerOptions{Level: level})))
		},
	}
	s.flag(c, "there is none")
	c.Flags().IntVar(&processors, "processors", 0, "processors to use for a search; all when left out")
	c.Flags().BoolVar(&verbose, "verbose", false, "log what the queue does")
	return c
}

// closingLimit is how long a worker that ends waits for its search to be let go of.
const closingLimit = 15 * time.Second

// work works on searches until ctx ends, or Ctrl-C.
func work(ctx context.Context, a *runs.Address, processors int, out io.Writer, log *slog.Logger) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	t := &teller{out: out}
	book := runs.New(runs.Setup{Database: a, Log: log, Work: t.told(runs.Seek(processors))})
	if err := book.Wake(ctx); err != nil {
		return err
	}
	t.line("working on the searches in %s; Ctrl-C ends", a)
	<-ctx.Done()
	closing, done := context.WithTimeout(context.WithoutCancel(ctx), closingLimit)
	defer done()
	return book.Close(closing)
}

// A teller prints what is worked on.
type teller struct {
	mu  sync.Mutex
	out io.Writer
}

func (t *teller) line(format string, args ...any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	fmt.Fprintf(t.out, format+"\n", args...)
}

func (t *teller) told(do func(context.Context, runs.Task) ([]byte, error)) func(context.Context, runs.Task) ([]byte, error) {
	return func(ctx context.Context, k runs.Task) ([]byte, error) {
		begins := "begins"
		if k.Resume != nil {
			begins = "goes on from its last checkpoint"
		}
		t.line("search %s, %s: %s", k.ID, k.File, begins)
		began := time.Now()
		answer, err := do(ctx, k)
		switch {
		case err == nil:
			t.line("search %s, %s: done after %.1f s", k.ID, k.File, time.Since(began).Seconds())
		case ctx.Err() != nil:
			t.line("search %s, %s: let go of (%v)", k.ID, k.File, context.Cause(ctx))
		default:
			t.line("search %s, %s: failed: %v", k.ID, k.File, err)
		}
		return answer, err
	}
}
