package runs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"lowslung/quantity"
	"lowslung/rig"
	"lowslung/search"
)

// Seek does the work of a run: the search itself, on so many processors, 0 for all. All that it needs is in the task.
func Seek(processors int) func(context.Context, Task) ([]byte, error) {
	return func(ctx context.Context, t Task) ([]byte, error) {
		b, err := rig.Load(Source(t.Texts), t.File)
		if err != nil {
			return nil, err
		}
		units, err := quantity.ParseSystem(t.Options.Units)
		if err != nil {
			return nil, err
		}
		o := search.Options{
			Builds: t.Options.Builds, Most: t.Options.Most, Units: units, Workers: processors, Progress: t.Progress, Checkpoint: t.Checkpoint, Resume: t.Resume,
		}
		a, err := search.Run(ctx, b, o)
		if errors.Is(err, search.ErrCheckpoint) { // another version's: what it had found is found again
			o.Resume = nil
			a, err = search.Run(ctx, b, o)
		}
		if err != nil {
			return nil, err
		}
		return json.Marshal(a)
	}
}

// Source reads the texts that a run was begun with.
func Source(texts map[string]string) rig.Source {
	return func(name string) ([]byte, error) {
		text, ok := texts[name]
		if !ok {
			return nil, fmt.Errorf("found no file %q among the texts that the search was begun with", name)
		}
		return []byte(text), nil
	}
}
