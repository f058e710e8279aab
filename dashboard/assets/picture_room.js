/* Room for the names beside a picture, measured before it is drawn: plotly finds it by drawing the
   axes again and again, which takes longer than all the rest of the picture. */
(function () {
  "use strict";
  var GAP_PX = 11; /* as plotly leaves between the names and the picture's edge, and its axis */
  var MOST = 0.5; /* of the width; for longer names plotly has ways of its own */
  var pen = document.createElement("canvas").getContext("2d");

  window.crewplan_room = function (element, figure) {
    var layout = figure.layout || {}, axis = layout.yaxis || {}, font = layout.font || {};
    var names = (figure.data || []).reduce(function (all, marks) { return all.concat(marks.y || []); }, []);
    if (!axis.automargin || axis.type !== "category" || axis.title || !names.length) { return figure; }
    pen.font = font.size + "px " + font.family;
    var widths = names.map(function (name) { return pen.measureText(name + (axis.ticksuffix || "")).width; });
    var room = Math.ceil(Math.max.apply(null, widths)) + GAP_PX;
    if (room > MOST * element.clientWidth) { return figure; }
    return Object.assign({}, figure, { layout: Object.assign({}, layout, {
      margin: Object.assign({}, layout.margin, { l: room }),
      yaxis: Object.assign({}, axis, { automargin: false })
    }) });
  };
})();
