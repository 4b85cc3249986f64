// The three GPU programs. `view` takes the scene to clip space, `shift` is where a thing stands.

const cutting = `
uniform vec4 cut;
bool taken(vec3 p) { return dot(cut.xyz, p) > cut.w; }
`;

/** Faces in soft light. With `stripes` (a pitch in pixels) only a hatching is drawn, which marks a
 *  picked face by more than a colour. */
export const faceShader = {
  vertex: `
layout(location = 0) in vec3 point;
layout(location = 1) in vec3 normal;
uniform mat4 view;
uniform vec3 shift;
out vec3 place, facing;
void main() {
  place = point + shift;
  facing = normal;
  gl_Position = view * vec4(place, 1.0);
}`,
  fragment: `${cutting}
in vec3 place, facing;
uniform vec3 ink, light, eye;
uniform float alpha, stripes;
out vec4 colour;
void main() {
  if (taken(place)) discard;
  if (stripes != 0.0) {
    float across = gl_FragCoord.x + sign(stripes) * gl_FragCoord.y;
    float line = abs(fract(across / abs(stripes)) - 0.5) * 2.0;
    colour = vec4(ink, mix(0.1, 0.75, smoothstep(0.68, 0.84, line)));
    return;
  }
  vec3 n = normalize(facing);
  if (dot(n, eye) < 0.0) n = -n;
  float key = 0.5 + 0.5 * dot(n, light);
  float shade = 0.56 + 0.36 * key * key + 0.12 * dot(n, eye);
  colour = vec4(ink * shade, alpha);
}`,
};

/** Lines of a given width in pixels, a quad for each segment: WebGL's own are hair thin. */
export const lineShader = {
  vertex: `
layout(location = 0) in vec3 start;
layout(location = 1) in vec3 end;
uniform mat4 view;
uniform vec3 shift;
uniform vec2 screen;
uniform float wide;
out vec3 place;
void main() {
  bool last = gl_VertexID > 1;
  float side = (gl_VertexID & 1) == 0 ? 1.0 : -1.0;
  place = (last ? end : start) + shift;
  vec2 run = (view * vec4(end - start, 0.0)).xy * screen;
  run = length(run) > 1e-5 ? normalize(run) : vec2(1.0, 0.0);
  vec2 offset = vec2(-run.y, run.x) * side + run * (last ? 0.5 : -0.5);
  gl_Position = view * vec4(place, 1.0);
  gl_Position.xy += offset * wide / screen;
}`,
  fragment: `${cutting}
in vec3 place;
uniform vec3 ink;
out vec4 colour;
void main() {
  if (taken(place)) discard;
  colour = vec4(ink, 1.0);
}`,
};

/** The cut face: a large square of which the stencil lets through what is solid. Hatched, each thing
 *  its own way, as neighbouring parts are in a section drawing. */
export const capShader = {
  vertex: `
uniform mat4 view;
uniform vec3 centre, across, upward;
void main() {
  vec2 corner = vec2((gl_VertexID & 1) * 2 - 1, (gl_VertexID & 2) - 1);
  gl_Position = view * vec4(centre + across * corner.x + upward * corner.y, 1.0);
}`,
  fragment: `
uniform vec3 ink, line;
uniform vec2 hatch;
uniform float wide;
out vec4 colour;
void main() {
  float away = abs(fract(dot(gl_FragCoord.xy, hatch)) - 0.5) / length(hatch);
  colour = vec4(mix(line, ink, smoothstep(wide - 0.5, wide + 0.5, away)), 1.0);
}`,
};
