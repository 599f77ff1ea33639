//go:build !linux

package store

import "testing"

func readOnly(t *testing.T, _ func(folder string)) string {
	t.Skip("a read-only folder is made by mounting one, which this test knows on Linux only")
	return ""
}

func small(t *testing.T, _, _ string) {
	t.Skip("a small disk is made by mounting one, which this test knows on Linux only; TestFullFile checks the same error by a limit on the file")
}
