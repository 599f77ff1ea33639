package store

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"lowslung/rig"
)

// A Code says what kind of thing went wrong; stable.
type Code string

// Codes of errors.
const (
	NotFound    Code = "not-found"    // no document or revision of that name or number
	Exists      Code = "exists"       // a document of that name is there
	Conflict    Code = "conflict"     // someone else has saved in between
	Mistakes    Code = "mistakes"     // the text, or a document that builds on it, would not load
	BadName     Code = "bad-name"     // a file name that cannot be used
	BadFile     Code = "bad-file"     // a zip or backup that cannot be read
	InUse       Code = "in-use"       // another document needs it
	NothingLeft Code = "nothing-left" // nothing to undo or redo
	TooLarge    Code = "too-large"    // more than the limits allow
	Busy        Code = "busy"         // another program holds the file
	DiskFull    Code = "disk-full"    // no room
	ReadOnly    Code = "read-only"    // the folder or file cannot be written
	Damaged     Code = "damaged"      // the file is no longer what was written
	NotWorkshop Code = "not-workshop" // a file that is no workshop
	TooNew      Code = "too-new"      // written by a later version of the program
	NoWorkshop  Code = "no-workshop"  // nothing there
	Unexpected  Code = "unexpected"   // anything else: the cause says what
)

// An Error is what went wrong, in words for a person. Error is the public message; Unwrap leads to the cause, for logs.
type Error struct {
	Code     Code
	Text     string          // what was found, what was expected, what was kept, what to do
	Present  *Document       // Conflict: what is there now
	Mistakes rig.Diagnostics // Mistakes
	Broken   []string        // Mistakes: files of other documents that would no longer load
	Cause    error
}

func (e *Error) Error() string { return e.Text }
func (e *Error) Unwrap() error { return e.Cause }

// CodeOf is the code of err, or "" when it is none of the store's errors.
func CodeOf(err error) Code {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

func fail(code Code, format string, args ...any) *Error {
	return &Error{Code: code, Text: fmt.Sprintf(format, args...)}
}

// fault turns what the disk or SQLite says about file into words. Errors of the store pass through.
func fault(file string, err error) error {
	var e *Error
	if err == nil || errors.As(err, &e) {
		return err
	}
	code, text := Unexpected, fmt.Sprintf("the workshop %s could not be used: %v", file, err)
	var s *sqlite.Error
	switch {
	case errors.As(err, &s):
		code, text = sqliteFault(file, s)
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		code, text = DiskFull, fullText(file)
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		code, text = ReadOnly, readOnlyText(file)
	}
	return &Error{Code: code, Text: text, Cause: err}
}

func fullText(file string) string {
	return fmt.Sprintf("the disk that holds %s is full. Nothing of this change was written, and everything saved before is still there. Free some space, then try again", file)
}

func readOnlyText(file string) string {
	return fmt.Sprintf("%s cannot be written: the file, its folder or its disk is read-only for this user. Nothing was changed. Allow writing there, or choose another folder with --workshop", file)
}

func sqliteFault(file string, s *sqlite.Error) (Code, string) {
	switch s.Code() & 0xff {
	case lib.SQLITE_FULL:
		return DiskFull, fullText(file)
	case lib.SQLITE_READONLY, lib.SQLITE_PERM, lib.SQLITE_AUTH:
		return ReadOnly, readOnlyText(file)
	case lib.SQLITE_CANTOPEN:
		return ReadOnly, fmt.Sprintf("%s cannot be opened or made: its folder is missing, is read-only for this user, or its disk is full. Nothing was changed. Allow writing there, or choose another folder with --workshop", file)
	case lib.SQLITE_NOTADB:
		return NotWorkshop, fmt.Sprintf("found a file at %s that is no workshop: it does not begin as a SQLite file does. It was left as it is. Move it away, or put a backup back with: lowslung workshop restore", file)
	case lib.SQLITE_CORRUPT:
		return Damaged, fmt.Sprintf("the workshop %s is damaged: the file is no longer as it was written. It was left as it is. Put a backup back with: lowslung workshop restore", file)
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		return Busy, fmt.Sprintf("the workshop %s is in use by another program for longer than this one waits. Nothing was changed. Try again", file)
	case lib.SQLITE_IOERR:
		// SQLite reports a write that the disk had no room for as FULL, but a shared-memory file that could not grow as an I/O error.
		switch s.Code() {
		case lib.SQLITE_IOERR_SHMSIZE, lib.SQLITE_IOERR_SHMOPEN, lib.SQLITE_IOERR_SHMMAP:
			return DiskFull, fmt.Sprintf("the disk that holds %s has no room left, or does not allow sharing files. Nothing was changed, and everything saved before is still there. Free some space, then try again", file)
		}
		return Unexpected, fmt.Sprintf("the disk that holds %s reports an error (SQLite code %d). Nothing of this change counts as saved; everything saved before is still in the file. Check the disk, and make a backup elsewhere: lowslung workshop backup", file, s.Code())
	}
	return Unexpected, fmt.Sprintf("the workshop %s could not be used (SQLite code %d)", file, s.Code())
}
