// A thin layer over WebGL2: programs with their uniforms by name, and meshes.

export class Program {
  constructor(gl, { vertex, fragment }) {
    this.gl = gl;
    this.program = gl.createProgram();
    for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, `#version 300 es\nprecision highp float;\n${source}`);
      gl.compileShader(shader);
      gl.attachShader(this.program, shader);
    }
    gl.linkProgram(this.program);
    this.places = {};
  }

  /** Sets uniforms: numbers, vectors as arrays of 2 to 4, matrices as arrays of 16. */
  use(values) {
    const { gl, program, places } = this;
    gl.useProgram(program);
    for (const [name, value] of Object.entries(values)) {
      places[name] ??= gl.getUniformLocation(program, name);
      if (value.length === 16) gl.uniformMatrix4fv(places[name], false, value);
      else if (value.length) gl[`uniform${value.length}fv`](places[name], value);
      else gl.uniform1f(places[name], value);
    }
  }
}

/** `streams` are [data, stride, offset, divisor], of three floats each. */
function mesh(gl, streams, triangles, drawBound) {
  const buffers = [];
  const fill = (target, data) => {
    buffers.push(gl.createBuffer());
    gl.bindBuffer(target, buffers.at(-1));
    gl.bufferData(target, data, gl.STATIC_DRAW);
  };
  const array = gl.createVertexArray();
  gl.bindVertexArray(array);
  streams.forEach(([data, stride, offset, divisor], location) => {
    fill(gl.ARRAY_BUFFER, data);
    gl.enableVertexAttribArray(location);
    gl.vertexAttribPointer(location, 3, gl.FLOAT, false, stride, offset);
    gl.vertexAttribDivisor(location, divisor);
  });
  if (triangles) fill(gl.ELEMENT_ARRAY_BUFFER, triangles);
  return {
    draw() {
      gl.bindVertexArray(array);
      drawBound();
    },
    free() {
      gl.deleteVertexArray(array);
      for (const buffer of buffers) gl.deleteBuffer(buffer);
    },
  };
}

export function meshOfFaces(gl, { points, normals }, triangles) {
  const draw = () => gl.drawElements(gl.TRIANGLES, triangles.length, gl.UNSIGNED_INT, 0);
  return mesh(gl, [[points, 12, 0, 0], [normals, 12, 0, 0]], triangles, draw);
}

export function meshOfLines(gl, segments) {
  const draw = () => gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, segments.length / 6);
  return mesh(gl, [[segments, 24, 0, 1], [segments, 24, 12, 1]], null, draw);
}
