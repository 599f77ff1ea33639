// Package server is the HTTP side of the workshop: the API that the workbench and others call, and the workbench's page.
//
// In: an open store and the built page. Out: an http.Handler, and Serve, which listens until its context ends. Each question has
// one path, named by its word, and takes the options that the command of the same word takes. Answers are the questions' own
// types; keys carry their units. What goes wrong is answered as a problem (RFC 9457) with the public message, and logged with
// its cause; texts of documents are never logged.
//
// Rules of the house:
//
//   - Loopback only, unless the builder says otherwise. Requests under another host name (DNS rebinding) and requests that
//     another site's page makes are refused.
//   - A change names the version it was made from (If-Match), so two tabs cannot overwrite each other.
//   - Nothing is worked out here: the questions do that. Loaded models are kept, by the hashes of every text they came from.
package server
