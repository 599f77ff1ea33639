package store

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// readOnly is a folder with a workshop that cannot be written: by its mode, or, for root, whom modes do not stop, by a
// file system mounted read-only.
func readOnly(t *testing.T, fill func(folder string)) string {
	t.Helper()
	folder := t.TempDir()
	if os.Getuid() != 0 {
		fill(folder)
		for _, e := range []string{File, "."} {
			if err := os.Chmod(filepath.Join(folder, e), 0o555); err != nil && e == "." {
				t.Fatal(err)
			}
		}
		t.Cleanup(func() { os.Chmod(folder, 0o755) })
		return folder
	}
	small(t, folder, "size=4m")
	fill(folder)
	if err := syscall.Mount("tmpfs", folder, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, "size=4m"); err != nil {
		t.Skipf("a file system cannot be mounted read-only here (%v), and root can write whatever the mode says", err)
	}
	return folder
}

// small mounts a file system of limited size on folder.
func small(t *testing.T, folder, size string) {
	t.Helper()
	if os.Getuid() != 0 {
		t.Skip("mounting a small file system takes root; TestFullFile checks the same error by a limit on the file")
	}
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, size); err != nil {
		t.Skipf("a small file system cannot be mounted here (%v); TestFullFile checks the same error by a limit on the file", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(folder, 0); err != nil {
			t.Errorf("%s stays mounted: %v", folder, err)
		}
	})
}
