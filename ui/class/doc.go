// Package class shows a lesson to a class: on the whole screen, one step at a time,
// and on a second one for whoever teaches. It changes nothing in the document.
//
// class.go is the lesson as far as it is, and what can be asked of it; keys.go what
// is pressed; question.go what is pointed at and dragged; marker.go the highlighter;
// screen.go what is seen; words.go the sentences on it; teacher.go the second window.
package class
