// chartjs-node-canvas asks for createCanvas(w, h, 'svg') and toBuffer(); the SVG canvas here offers getContent().
const canvas = require('@napi-rs/canvas/node-canvas');
const { createCanvas, SvgExportFlag } = require('@napi-rs/canvas');

function createVectorCanvas(width, height) {
  const vector = createCanvas(width, height, SvgExportFlag.NoPrettyXML);
  vector.toBuffer = () => vector.getContent();
  return vector;
}

module.exports = {
  ...canvas,
  createCanvas: (width, height, type) =>
    type === 'svg' ? createVectorCanvas(width, height) : canvas.createCanvas(width, height, type),
};
