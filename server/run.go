package server

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strings"
	"sync"
	"time"
)

// Limits of connections. An import of the greatest size comes over loopback in far less than readLimit.
const (
	headerLimit  = 5 * time.Second
	readLimit    = 90 * time.Second
	writeLimit   = 90 * time.Second
	idleLimit    = 2 * time.Minute
	closingLimit = 5 * time.Second
	headerBytes  = 32 << 10
)

// Listen opens the address. Addresses that other machines reach are refused unless open is set.
func Listen(addr string, open bool) (net.Listener, error) {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("found the address %q, expected host:port such as 127.0.0.1:0", addr)
	}
	if !isLoopback(host) && !open {
		return nil, fmt.Errorf("found the address %q, which other machines can reach; expected 127.0.0.1, ::1 or localhost. "+
			"Everyone who reaches it could read and change the workshop: say --open-to-network if that is meant", addr)
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, fmt.Errorf("the address %s cannot be used: %w", addr, err)
	}
	return l, nil
}

func isLoopback(host string) bool {
	ip := net.ParseIP(host)
	return strings.EqualFold(host, "localhost") || ip != nil && ip.IsLoopback()
}

// NamesOf are the names under which a listener answers: those of loopback; of an address that other machines reach, also the
// machine's own addresses and name.
func NamesOf(l net.Listener) Names {
	at, ok := l.Addr().(*net.TCPAddr)
	if !ok {
		return Names{}
	}
	n := Names{Port: at.Port, Hosts: append([]string(nil), loopbackNames...)}
	if at.IP.IsLoopback() {
		return n
	}
	if !at.IP.IsUnspecified() {
		n.Hosts = append(n.Hosts, at.IP.String())
	} else if list, err := net.InterfaceAddrs(); err == nil {
		for _, a := range list {
			if ip, ok := a.(*net.IPNet); ok {
				n.Hosts = append(n.Hosts, ip.IP.String())
			}
		}
	}
	if name, err := os.Hostname(); err == nil {
		n.Hosts = append(n.Hosts, strings.ToLower(name), strings.ToLower(name)+".local")
	}
	return n
}

// Serve answers on the listener until ctx ends, then lets what is under way finish. It closes the listener, not the store.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	handler, err := s.Handler(NamesOf(l))
	if err != nil {
		l.Close()
		return err
	}
	following, stop := context.WithCancel(context.WithoutCancel(ctx))
	var follower sync.WaitGroup
	follower.Go(func() { s.followOn(following) })
	follower.Go(func() { // beside the page, which must not wait for it
		if err := s.runs.Wake(following); err != nil && following.Err() == nil {
			s.log.WarnContext(following, "searches of earlier could not be taken up", "cause", err)
		}
	})
	defer func() { // the workshop is closed next, and then nobody may be at it
		stop()
		follower.Wait()
		closing, done := context.WithTimeout(context.WithoutCancel(ctx), closingLimit)
		defer done()
		if err := s.runs.Close(closing); err != nil {
			s.log.WarnContext(closing, "searches could not be let go of properly; the next start takes them up", "cause", err)
		}
	}()

	h := &http.Server{
		Handler: handler, ReadHeaderTimeout: headerLimit, ReadTimeout: readLimit, WriteTimeout: writeLimit, IdleTimeout: idleLimit,
		MaxHeaderBytes: headerBytes, ErrorLog: slog.NewLogLogger(s.log.Handler(), slog.LevelDebug),
	}
	h.RegisterOnShutdown(stop) // ends the streams of events, which would never end by themselves
	served := make(chan error, 1)
	go func() { served <- h.Serve(l) }()
	select {
	case err = <-served:
		return err
	case <-ctx.Done():
	}
	closing, done := context.WithTimeout(context.WithoutCancel(ctx), closingLimit)
	defer done()
	defer s.jobs.finish(closing)
	if e := h.Shutdown(closing); e != nil {
		h.Close()
		if !errors.Is(e, context.DeadlineExceeded) {
			err = errors.Join(err, e)
		}
	}
	return err
}
