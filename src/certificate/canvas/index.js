// chartjs-node-canvas asks for a package named canvas at once, though the certificate draws its charts without one (see
// draw-chart.ts). So nothing is loaded before somebody draws pixels; type 'svg' hands out its text by toBuffer().
const prebuilt = () => require('@napi-rs/canvas/node-canvas');

function createVectorCanvas(width, height) {
  const { createCanvas, SvgExportFlag } = require('@napi-rs/canvas');
  const vector = createCanvas(width, height, SvgExportFlag.NoPrettyXML);
  vector.toBuffer = () => vector.getContent();
  return vector;
}

module.exports = {
  createCanvas: (width, height, type) =>
    type === 'svg' ? createVectorCanvas(width, height) : prebuilt().createCanvas(width, height, type),
  registerFont: (file, options) => prebuilt().registerFont(file, options),
  Image: class {},
};
