// Package cli is the command line: one file per command. Commands decode flags into a question's options, ask, and print;
// they work nothing out. Exit status: 0 fine, 1 when a finding says stop, 2 bad use or input that cannot be read.
package cli
