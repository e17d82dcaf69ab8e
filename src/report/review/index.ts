export { serveReview, type ReviewServer, type ReviewSource } from './review-server.js';
