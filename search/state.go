package search

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
)

// A checkpoint is small: where the run is, the counts so far, and the builds that stand so far.
type state struct {
	Version int      `json:"lowslung_search"`
	Hash    string   `json:"hash"` // of the document, its items and the options that the answer depends on
	Frame   int      `json:"frame"`
	Next    int      `json:"next"`
	Tally   *tally   `json:"tally"`
	Front   []member `json:"front"`
	Kept    []member `json:"kept"`
	Base    *based   `json:"base,omitempty"` // what boxes are held against since the last round
}

// based is a tally of which nothing is counted.
type based struct {
	Only  []only   `json:"only"`
	Front []member `json:"front"`
}

const stateVersion = 2

// save hands a checkpoint out.
func (r *runner) save() {
	r.since = 0
	if r.o.Checkpoint == nil {
		return
	}
	st := state{stateVersion, r.s.hash(&r.o), r.frame, r.next, r.all, r.all.front.list, r.all.kept, nil}
	if r.base != nil {
		st.Base = &based{r.base.Only, r.base.front.list}
	}
	text, err := json.Marshal(st)
	if err != nil {
		panic(err) // numbers and lists of them only
	}
	r.o.Checkpoint(text)
}

// ErrCheckpoint says that Resume is no checkpoint of this search, or of another version of it: without it the search begins anew.
var ErrCheckpoint = errors.New("the checkpoint does not fit")

// unfit is an error about a checkpoint, in its own words.
type unfit struct{ error }

// Is is for errors.Is.
func (unfit) Is(target error) bool { return target == ErrCheckpoint }

// Unwrap gives the error itself.
func (e unfit) Unwrap() error { return e.error }

// resume takes a checkpoint up again.
func (r *runner) resume(text []byte) error {
	st := state{Tally: newTally(r.s)}
	if err := json.Unmarshal(text, &st); err != nil {
		return fmt.Errorf("the checkpoint cannot be read (%w); begin anew without it", err)
	}
	switch {
	case st.Version != stateVersion:
		return fmt.Errorf("found a checkpoint of version %d, expected %d; begin anew without it", st.Version, stateVersion)
	case st.Hash != r.s.hash(&r.o):
		return errors.New("found a checkpoint of another document, another bin or other options, expected one of this search; begin anew without it")
	case st.Tally == nil || len(st.Tally.Rejected) != len(r.s.wants) || len(st.Tally.Only) != len(r.s.wants) || st.Frame < 0 || st.Frame > r.s.frames || st.Next < 0:
		return errors.New("found a checkpoint that does not fit its own search, expected one that was written by it; begin anew without it")
	}
	lists := [][]member{st.Front, st.Kept}
	if st.Base != nil {
		lists = append(lists, st.Base.Front)
	}
	for _, list := range lists {
		for _, m := range list {
			if len(m.Cost) != len(r.s.prefers) || m.Rank < 0 || m.Rank >= r.s.size || m.Fine != nil {
				return errors.New("found a build in the checkpoint that is none of this search; begin anew without it")
			}
		}
	}
	r.all, r.frame, r.next = st.Tally, st.Frame, st.Next
	r.all.front.list, r.all.kept = st.Front, st.Kept
	if st.Base != nil {
		r.base = newTally(r.s)
		copy(r.base.Only, st.Base.Only)
		r.base.front.list = st.Base.Front
	}
	return nil
}

// hash is of everything that the answer depends on.
func (s *space) hash(o *Options) string {
	h := sha256.New()
	fmt.Fprintln(h, stateVersion, o.Heave, o.Roll, o.Asked, o.Brute)
	fmt.Fprintln(h, s.b.Full().Line())
	for i := range s.choices {
		for _, v := range s.choices[i].values {
			fmt.Fprintln(h, v.Line(), s.b.ItemText(v.Text))
		}
	}
	for _, r := range s.b.Doc.Rodded() {
		l := r.Link
		if l.Rod != nil {
			fmt.Fprintln(h, s.b.ItemText(l.Rod.Item))
		}
		for _, id := range l.Ends {
			fmt.Fprintln(h, s.b.ItemText(id))
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}
