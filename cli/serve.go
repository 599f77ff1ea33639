package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"lowslung/examples"
	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/server"
	"lowslung/store"
	"lowslung/web"
)

// usualAddr is tried when no address is asked for, so that the page keeps its bookmark; when it is taken, any free port will do.
const usualAddr = "127.0.0.1:7411"

// serving are the flags of the workbench.
type serving struct {
	addr, workshop, units, rig string
	noOpen, open, verbose      bool
	searches                   shared
	leave                      bool
}

func newServeCommand() *cobra.Command {
	var o serving
	c := &cobra.Command{
		Use:   "serve",
		Short: "Open the workbench in the browser, on the builder's own workshop",
		Long: "Open the workbench in the browser, on the builder's own workshop. It listens on this machine alone, needs no network, and keeps\n" +
			"everything in one file. Ctrl-C ends it; what was shown as saved is on the disk.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return o.run(c) },
	}
	o.flags(c)
	return c
}

func (o *serving) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.addr, "addr", usualAddr, "address to listen on; port 0 takes a free one")
	f.StringVar(&o.workshop, "workshop", "", "folder that holds the workshop; the user's data folder when left out")
	f.StringVar(&o.units, "units", "metric", "units of the page when it is first opened: metric or us")
	f.StringVar(&o.rig, "rig", "", "document of the workshop to open the page on, such as bramble-portal.rig.yaml")
	f.BoolVar(&o.noOpen, "no-open", false, "do not open the browser")
	f.BoolVar(&o.open, "open-to-network", false, "allow an address that other machines can reach: there are no passwords, whoever reaches it can read and change everything")
	f.BoolVar(&o.verbose, "verbose", false, "log every request")
	o.searches.flag(c, "the workshop's own file")
	f.BoolVar(&o.leave, "leave-searches", false, "work on no search here; leave them to machines where lowslung work runs")
}

func (o *serving) run(c *cobra.Command) error {
	ctx := c.Context()
	if ctx == nil {
		ctx = context.Background()
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	units, err := quantity.ParseSystem(o.units)
	if err != nil {
		return err
	}
	searches, err := o.searches.address()
	if err != nil {
		return err
	}
	if o.leave && searches == nil {
		return errors.New("leave-searches: expected along with --searches, the database that the other machines look into")
	}
	l, err := o.listen(c)
	if err != nil {
		return err
	}
	defer l.Close()
	s, err := openWorkshop(ctx, o.workshop, store.Options{})
	if err != nil {
		return told(err)
	}
	defer s.Close()
	log := o.logger(c)
	begin(ctx, c, s, log)
	srv, err := server.New(server.Options{Store: s, Page: web.Dist(), Units: units, Log: log, Searches: searches, Leave: o.leave})
	if err != nil {
		return err
	}
	if searches != nil { // before the page is there: whoever named a database is told when it cannot be used
		if err := srv.Wake(ctx); err != nil {
			return err
		}
		fmt.Fprintf(c.ErrOrStderr(), "searches are kept in %s\n", searches)
	}
	url := "http://" + l.Addr().String()
	fmt.Fprintf(c.OutOrStdout(), "listening on %s\n", url)
	if page, err := o.page(ctx, s); err != nil {
		fmt.Fprintln(c.ErrOrStderr(), err)
	} else if url += page; page != "" {
		fmt.Fprintf(c.OutOrStdout(), "the page of %s: %s\n", o.rig, url)
	}
	if !o.noOpen {
		show(url)
	}
	err = srv.Serve(ctx, l)
	if e := s.Close(); err == nil {
		err = e
	}
	return err
}

// page is the address within the page of the document asked for; that it is not there is said and is no reason not to start.
func (o *serving) page(ctx context.Context, s *store.Store) (string, error) {
	if o.rig == "" {
		return "", nil
	}
	list, err := s.Documents(ctx, store.Rig)
	if err != nil {
		return "", err
	}
	names := make([]string, len(list))
	for i, r := range list {
		if r.File == o.rig {
			return fmt.Sprintf("/#/rig/%v/travel", r.ID), nil
		}
		names[i] = r.File
	}
	text := fmt.Sprintf("rig: found %q, expected a document of the workshop", o.rig)
	if near := rig.Nearest(o.rig, names); near != "" {
		text += fmt.Sprintf("; did you mean %q?", near)
	}
	return "", errors.New(text)
}

func (o *serving) logger(c *cobra.Command) *slog.Logger {
	level := slog.LevelWarn
	if o.verbose {
		level = slog.LevelDebug
	}
	return slog.New(slog.NewTextHandler(c.ErrOrStderr(), &slog.HandlerOptions{Level: level}))
}

func (o *serving) listen(c *cobra.Command) (net.Listener, error) {
	l, err := server.Listen(o.addr, o.open)
	if err != nil && !c.Flags().Changed("addr") && errors.Is(err, syscall.EADDRINUSE) {
		l, err = server.Listen("127.0.0.1:0", false)
	}
	if err == nil && o.open {
		fmt.Fprintln(c.ErrOrStderr(), "warning: other machines can reach the workshop; there are no passwords, and whoever reaches it can read and change everything")
	}
	return l, err
}

// begin puts the demo rigs into a workshop that has never held anything. That they cannot be put there is no reason not to start.
func begin(ctx context.Context, c *cobra.Command, s *store.Store, log *slog.Logger) {
	unused, err := s.Unused(ctx)
	if err != nil || !unused {
		return
	}
	texts, err := demos()
	if err == nil {
		_, err = s.Import(ctx, texts, "demo rig of the first start")
	}
	if err != nil {
		log.Warn("the demo rigs could not be put into the new workshop", "cause", err)
		return
	}
	fmt.Fprintf(c.ErrOrStderr(), "began a workshop with the demo rigs: %s\n", s.Path())
}

func demos() ([]store.Text, error) {
	var texts []store.Text
	err := fs.WalkDir(examples.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), ".") {
			return err
		}
		body, err := examples.Files.ReadFile(name)
		texts = append(texts, store.Text{Name: name, Body: body})
		return err
	})
	return texts, err
}

// show opens the browser, when there is one; the address has been printed for when there is not.
func show(url string) {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", url)
	case "darwin":
		c = exec.Command("open", url)
	default:
		c = exec.Command("xdg-open", url)
	}
	if c.Start() == nil {
		go c.Wait()
	}
}
