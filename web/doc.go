// Package web serves the page that is kept open beside the bench: the design
// with its answer while it is changed, the section, the printed body, the
// notebook's trials, a running trial and its forecast, and the search. The
// page is embedded, works without a network, and asks this server only.
//
// The server reads and writes in one folder, the project. Requests are
// answered only under a name of this machine; those that change or compute
// something must bear the page's token and come from the page itself.
package web
