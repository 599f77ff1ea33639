package server

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"lowslung/store"
)

const (
	eventsPath = "/api/events"
	keepAlive  = 15 * time.Second
	behind     = 256 // events that a listener may lag behind before it is let go; it connects again and looks anew
)

// Happening is what an event tells.
type Happening struct {
	Rig      string `json:"rig" doc:"Number of the rig"`
	Revision int    `json:"revision" doc:"Its present revision"`
}

// A hub passes happenings on to everyone who listens.
type hub struct {
	mu     sync.Mutex
	closed bool
	ears   map[chan []byte]bool
}

func newHub() *hub { return &hub{ears: map[chan []byte]bool{}} }

// listen gives a channel of events, ready to be written; it is closed when the hub is, or when the listener lags behind.
func (h *hub) listen() (events chan []byte, leave func()) {
	events = make(chan []byte, behind)
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		close(events)
		return events, func() {}
	}
	h.ears[events] = true
	return events, func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		if h.ears[events] {
			delete(h.ears, events)
			close(events)
		}
	}
}

func (h *hub) tell(name string, data any) {
	body, err := json.Marshal(data)
	if err != nil {
		return // numbers and texts always encode
	}
	event := fmt.Appendf(nil, "event: %s\ndata: %s\n\n", name, body)
	h.mu.Lock()
	defer h.mu.Unlock()
	for ear := range h.ears {
		select {
		case ear <- event:
		default:
			delete(h.ears, ear)
			close(ear)
		}
	}
}

func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for ear := range h.ears {
		delete(h.ears, ear)
		close(ear)
	}
}

// followOn follows until ctx ends, also over a disk that fails for a while, and then ends every stream of events.
func (s *Server) followOn(ctx context.Context) {
	defer s.hub.close()
	for ctx.Err() == nil {
		if err := s.follow(ctx); err != nil && ctx.Err() == nil {
			s.log.WarnContext(ctx, "the workshop could not be watched; trying again", "cause", err)
			select {
			case <-ctx.Done():
			case <-time.After(time.Second):
			}
		}
	}
}

// follow passes every change of the workshop on, whoever made it, until ctx ends. A change of a base or bin is told as a
// change of the answers of the rigs that build on it.
func (s *Server) follow(ctx context.Context) error {
	return s.store.Watch(ctx, func(e store.Event) {
		h := Happening{strconv.FormatInt(e.ID, 10), e.Revision}
		if e.Kind == store.Rig {
			if e.Removed {
				s.hub.tell("removed", h)
				return
			}
			s.hub.tell("saved", h)
		}
		err := s.store.Look(ctx, func(v store.Snapshot) error {
			d, err := v.Document(e.ID)
			if err != nil {
				return err
			}
			files, err := v.Readers(d.File)
			if err != nil {
				return err
			}
			for _, file := range files {
				if r, err := v.Named(file); err == nil && r.Kind == store.Rig {
					s.hub.tell("answers", Happening{strconv.FormatInt(r.ID, 10), r.Revision})
				}
			}
			return nil
		})
		if err != nil && store.CodeOf(err) != store.NotFound && ctx.Err() == nil {
			s.log.WarnContext(ctx, "a change could not be passed on", "cause", err)
		}
	})
}

func (s *Server) routeEvents(api huma.API) {
	op := operation("events", http.MethodGet, eventsPath, "Changes as they happen (server-sent events): saved, answers (a base or bin of the rig was saved, so its answers may differ), removed; job (how far an import is); search (how far a search is)")
	op.Responses = map[string]*huma.Response{"200": {Description: "A stream of events: saved, answers and removed, each with rig and revision; job, with a Job; search, with a run", Content: map[string]*huma.MediaType{
		"text/event-stream": {Schema: &huma.Schema{Type: huma.TypeString}}}}}
	huma.Register(api, op, func(context.Context, *struct{}) (*huma.StreamResponse, error) {
		return &huma.StreamResponse{Body: func(c huma.Context) {
			r, w := humago.Unwrap(c)
			s.stream(w, r)
		}}, nil
	})
}

func (s *Server) stream(w http.ResponseWriter, r *http.Request) {
	events, leave := s.hub.listen()
	defer leave()
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	control := http.NewResponseController(w)
	write := func(text []byte) bool {
		// The server's own limit on the time of an answer is for answers that end.
		if err := control.SetWriteDeadline(time.Now().Add(keepAlive)); err != nil {
			return false
		}
		if _, err := w.Write(text); err != nil && err != io.ErrShortWrite {
			return false
		}
		return control.Flush() == nil
	}
	if !write([]byte(": listening\n\n")) {
		return
	}
	clock := time.NewTicker(keepAlive)
	defer clock.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case event, ok := <-events:
			if !ok || !write(event) {
				return
			}
		case <-clock.C:
			if !write([]byte(": still here\n\n")) {
				return
			}
		}
	}
}
