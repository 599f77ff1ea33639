package reference

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"testing"
)

// python is Debian's own, which has python3-numpy and python3-scipy; another one on the path may not.
const python = "/usr/bin/python3"

// twin runs a script of python/ with a question on its standard input and reads the answer. Without NumPy or SciPy the checks
// fail, and say what to install: a check that is skipped says nothing.
func twin(t testing.TB, script string, question, answer any) {
	t.Helper()
	text, err := json.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	out, err := runPython(script, text)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(out, answer); err != nil {
		t.Fatalf("%s: %v", script, err)
	}
}

func runPython(script string, in []byte) ([]byte, error) {
	for _, name := range []string{"axle.py", script} { // read here as well, so that go test knows what its cached result rests on
		if _, err := os.ReadFile("python/" + name); err != nil {
			return nil, err
		}
	}
	cmd := exec.Command(python, "-B", "python/"+script)
	cmd.Env = append(os.Environ(), "OPENBLAS_NUM_THREADS=1", "OMP_NUM_THREADS=1") // 7×7 matrices gain nothing from threads
	var out, complaint bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &complaint
	if err := cmd.Run(); err != nil {
		if cmd.ProcessState == nil {
			return nil, fmt.Errorf("%s cannot be run (%w); on Debian: apt-get install --no-install-recommends python3-numpy python3-scipy", python, err)
		}
		return nil, fmt.Errorf("%s: %w\n%s", script, err, complaint.String())
	}
	return out.Bytes(), nil
}
